// Planning, live: each cloth's layout as it gets shorter, what it costs, and the time left.

import { button, h } from "./dom.js";
import { inWords as faultWords } from "./faults.js";
import { job } from "./job.js";
import { liesAs, smallMarker } from "./marker.js";
import { Progress } from "./progress.js";
import { format, money } from "./units.js";
import { numbersOf } from "./weaves.js";

const live = document.getElementById("live");
const title = h("h1", {}, "Planning");
const progress = new Progress("search", "Drafting the pieces.");
const totals = h("p", { class: "totals" });
const cards = h("div", { class: "cloth-cards" });
const trouble = h("div", { class: "trouble" });
live.append(h("div", { class: "buy" }, h("div", { class: "buy-head" }, title, totals), cards), progress.node, trouble);

const first = new Map();
const shown = new Map();
let drawn = -1;

function figures(cloth) {
  const begun = first.get(cloth.title) ?? cloth.length_mm;
  first.set(cloth.title, begun);
  const gained = begun - cloth.length_mm;
  return h("dl", {},
    h("div", { class: "lead" }, h("dt", {}, "buy"), h("dd", {}, cloth.told.buy)),
    cloth.told.cost ? h("div", {}, h("dt", {}, "cost"), h("dd", {}, cloth.told.cost, ", ")) : null,
    gained > 5 && job.state.files.length === 0 ? h("div", { class: "gained-row" }, h("dt", {}, "gained"), h("dd", { class: "gained" }, `▼ ${format(gained, job.unit)} less`)) : null,
    h("div", {}, h("dt", {}, "lies"), h("dd", {}, liesAs(cloth))));
}

function card(name) {
  const picture = h("div", { class: "marker-place" }, h("p", { class: "hint" }, "no layout yet"));
  const words = h("div", { class: "figures" });
  const choose = button(`Look at ${name}`, () => {
    job.choose(name);
    draw(job.state, true);
  }, { class: "look" });
  const node = h("article", { class: "sheet cloth-card", "aria-label": name },
    h("h2", {}, name), picture, words, choose);
  return { node, picture, words, choose };
}

function sums(fabrics) {
  const costs = new Map();
  for (const { purchase } of fabrics) {
    if (purchase.cost !== null) costs.set(purchase.currency, (costs.get(purchase.currency) ?? 0) + purchase.cost);
  }
  return [...costs].map(([currency, cost]) => money(cost, currency)).join(" + ");
}

async function draw(state, anew = false) {
  for (const name of state.cloths) if (!shown.has(name)) shown.set(name, card(name));
  // What comes out of a bolt in hand stands by itself in the end.
  cards.replaceChildren(...state.cloths.map((name) => shown.get(name).node));
  for (const cloth of state.fabrics) shown.get(cloth.title)?.words.replaceChildren(figures(cloth));
  const total = sums(state.fabrics);
  const waiting = state.cloths.length - state.fabrics.length;
  totals.replaceChildren(...(total ? [h("strong", {}, total),
    waiting > 0 ? ` for ${state.fabrics.length} of ${state.cloths.length} cloths` : " for all the cloth"] : []));
  if (!state.fabrics.length || (state.news === drawn && !anew)) return;
  drawn = state.news;
  const plan = await job.plan().catch(() => null);
  if (!plan) return;
  const numbers = numbersOf(plan.pieces.map((piece) => piece.garment));
  const longest = Math.max(...plan.fabrics.map((one) => one.table_length_mm));
  showLarge(plan, numbers);
  for (const cloth of plan.fabrics) {
    const label = `${cloth.title}: ${cloth.placements.length} outlines, ${liesAs(cloth)}`;
    shown.get(cloth.title)?.picture.replaceChildren(smallMarker(cloth, numbers, { longest, label, wide: 90 }));
  }
}

// While there is nothing to take in hand yet, the layout that is looked at stands large as it gets shorter.
function showLarge(plan, numbers) {
  if (job.state.files.length) return;
  const cloth = plan.fabrics.find((one) => one.title === job.cloth) ?? plan.fabrics[0];
  if (!cloth) return;
  document.getElementById("layout").replaceChildren(
    h("div", { class: "desk-head" }, h("h2", {}, `The ${cloth.title} so far`), h("p", { class: "desk-figures" }, `${cloth.told.table} on the table`)),
    h("div", { class: "growing sheet" }, smallMarker(cloth, numbers, { label: `${cloth.title} so far`, wide: 700 })));
}

function gone({ message }) {
  progress.hide();
  trouble.replaceChildren(h("div", { class: "sheet" }, h("p", {}, message), h("p", {}, h("a", { href: document.getElementById("to-order").getAttribute("href") }, "Back to the order"))));
}

function over(state) {
  title.textContent = state.name || "The plan";
  document.title = `${title.textContent} · metrage`;
  trouble.replaceChildren(...(state.unkept ? [h("div", { class: "sheet" }, h("p", {}, `This plan is not on the shelf; download what you need. ${state.unkept}`))] : []));
  if (state.files.length && !state.cloths.includes(job.cloth)) job.choose(state.cloths[0]);
  if (state.state === "done" || state.files.length) return; // a plan that is made stays
  const words = state.message === "lost"
    ? "The planning broke off. The order is kept: plan it again, or change it."
    : state.message || "This order can't be planned as it stands.";
  trouble.replaceChildren(h("div", { class: "sheet" }, h("p", {}, words),
    h("ul", {}, state.faults.map((fault) => h("li", { class: "fault" }, faultWords(fault)))),
    h("p", {}, h("a", { href: document.getElementById("to-order").getAttribute("href") }, "Back to the order"))));
}

job.on(["news"], (detail) => {
  title.textContent = detail.name || "Planning";
  progress.tell(detail);
  draw(detail);
});
job.on(["tick"], (detail) => progress.tell(detail));
job.on(["over"], (detail) => over(detail));
job.on(["cloth"], (detail) => {
  for (const [name, one] of shown) one.node.classList.toggle("chosen", name === detail);
});
job.on(["silent"], (detail) => progress.lost(detail));
job.follow().catch(gone);
