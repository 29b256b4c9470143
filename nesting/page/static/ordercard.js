// An order on the shelf: a picture of its last plan, what to buy, when it was saved, its plans.

import { button, h } from "./dom.js";
import { smallMarker } from "./marker.js";
import { inTime } from "./times.js";
import { money } from "./units.js";
import { numbersOf } from "./weaves.js";

const costsOf = (card) => Object.entries(card.totals).map(([currency, cost]) => money(cost, currency)).join(" + ");
const cardOf = (plan) => JSON.parse(plan.card);

function picture(card) {
  if (!card?.picture) return h("p", { class: "hint" }, "no plan yet");
  return smallMarker(card.picture, numbersOf(card.garments), { label: `Its last plan: the ${card.picture.title}`, wide: 220 });
}

const linkTo = (plan) => {
  const costs = costsOf(cardOf(plan));
  return h("a", { href: `/plan/${plan.key}` }, `${inTime(plan.made)}${costs ? `: ${costs}` : ""}`);
};

function plansOf({ key, name, plans }) {
  if (!plans.length) return null;
  return h("details", { class: "order-plans", "data-key": key },
    h("summary", {}, plans.length === 1 ? "1 plan" : `${plans.length} plans`, h("span", { class: "sr" }, ` of ${name}`)),
    h("ul", {}, plans.map((plan) => h("li", {}, linkTo(plan)))));
}

// `names` are those of all orders by key; `acts` has what can be done with one.
/** @param {any} order @param {Map<string, string>} names @param {{copy: (order: any) => void, remove: (order: any) => void}} acts */
export function orderCard(order, names, { copy, remove }) {
  const { key, about, saved, plans, beside, here, revision } = order;
  const name = order.name || "an order without a name";
  const card = plans.length ? cardOf(plans[0]) : null;
  const costs = card ? costsOf(card) : "";
  return h("article", { class: "sheet order-card", "aria-label": name },
    h("div", { class: "order-picture" }, picture(card)),
    h("div", { class: "order-words" },
      h("h2", {}, h("a", { href: `/order/${key}` }, name)),
      costs ? h("p", { class: "costs" }, costs, h("span", { class: "for" }, ` ${card.for ?? ""}`)) : null,
      h("p", { class: "hint" }, card ? card.buy.map(([title, buy]) => `${title} ${buy}`).join(", ") : about.join(", ")),
      card && plans[0].revision && plans[0].revision !== revision ? h("p", { class: "since" }, "changed since its last plan") : null,
      beside ? h("p", { class: "beside" }, "Changed in two places at once. ", names.has(beside) ? h("a", { href: `/order/${beside}` }, "The other one") : "The other one is not here any more.") : null,
      h("p", { class: "hint" }, here ? `in this browser alone, ${inTime(saved)}` : `saved ${inTime(saved)}`),
      plansOf(order)),
    here ? null : h("div", { class: "order-acts" }, button("Copy", () => copy(order), { "aria-label": `Copy ${name}` }),
      button("Delete", () => remove(order), { "aria-label": `Delete ${name}` })));
}
