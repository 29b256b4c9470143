// What is bought besides cloth: added, changed or refused.

import { button, h } from "./dom.js";
import { choiceField, clothChoice, flagField, lengthField, lengthsField, numberField, priceField, textField } from "./fields.js";
import { countsOf, faultPlace } from "./places.js";
import { marksOf, row, unfoldNext } from "./rows.js";
import { store } from "./store.js";
import { money, written } from "./units.js";

export function notionCards() {
  return (store.table.notion ?? []).map((_, index) => card(["notion", index]));
}

// What drafts and cards together need, as the order stands; told anew with every change.
export function askedNotions(notes) {
  const list = h("ul");
  const summary = h("summary");
  const node = h("details", { class: "asked", hidden: true, "data-key": "asked" }, summary,
    h("p", { class: "hint" }, "A card of the same name changes it:"), list);
  notes.push(() => {
    const needed = store.seen?.notions ?? [];
    node.hidden = !needed.length;
    if (list.dataset.told === JSON.stringify(needed)) return;
    list.dataset.told = JSON.stringify(needed);
    summary.textContent = needed.length === 1 ? "One thing is needed as the order stands" : `${needed.length} things are needed as the order stands`;
    list.replaceChildren(...needed.map((one) => h("li", {}, one)));
  });
  return node;
}

export const newNotion = () => store.edit(() => {
  const path = ["notion", (store.table.notion ?? []).length];
  unfoldNext(path);
  return { do: "put", path, value: { name: "ribbon", length: store.unit === "in" ? 40 : store.unit === "mm" ? 1000 : 100 } };
});

function card(path) {
  const name = store.at(path).name ?? "a notion";
  return row(path, { kind: "notion", name, tell: () => told(path), inside: () => inside(path) });
}

function told(path) {
  const notion = store.at(path) ?? {};
  const { faults, doubts } = countsOf(path);
  const length = (value) => `${written(value, store.unit)}${typeof value === "number" ? ` ${store.unit}` : ""}`;
  return {
    picture: "",
    name: notion.name ?? "a notion",
    line: [notion.garment ? `for ${notion.garment}` : "for every wearer", notion.wanted === false ? "not wanted" : null,
      notion.edge ? `along the ${notion.edge}` : null, notion.length === undefined ? null : length(notion.length),
      notion.count ? `${notion.count} of it` : null, notion.price === undefined ? null : money(notion.price, notion.currency)].filter(Boolean).join(", "),
    side: [`${faults} ${doubts}`, () => marksOf(path)],
  };
}

function inside(path) {
  const title = store.at([...path, "name"]) ?? "a notion";
  const garments = (store.table.garment ?? []).map((one) => one.name).filter(Boolean);
  return [
    h("div", { class: "sheet-head" },
      textField([...path, "name"], { label: "what", hint: "zip, elastic, button or what else a draft asks for changes that" }),
      choiceField([...path, "garment"], { label: "for", choices: garments, blank: "every wearer" }),
      h("div", { class: "tools" }, button("Remove", () => store.edit({ do: "take", path }), { "aria-label": `Remove ${title}` }))),
    faultPlace(path),
    h("div", { class: "grid" },
      flagField([...path, "wanted"], { label: "wanted", hint: "untick it to refuse what the drafts ask for", absent: true }),
      textField([...path, "edge"], { label: "along the edge", hint: "such as hem, neck or waist" }),
      textField([...path, "of"], { label: "of the pieces", hint: "a word of their names, such as skirt" }),
      lengthField([...path, "length"], { label: "or a length", hint: "of each" }),
      numberField([...path, "count"], { label: "how many", placeholder: " " }),
      lengthField([...path, "spacing"], { label: "one every", hint: "along the edge, as buttons" }),
      priceField([...path, "price"], { label: "price", hint: "of a length, of one, or of a package" }),
      textField([...path, "currency"], { label: "currency", hint: "such as EUR" }),
      lengthField([...path, "sold_by"], { label: "sold by", hint: "step of the counter, such as 10 cm" }),
      numberField([...path, "package"], { label: "in packages of", placeholder: "1" }),
      lengthField([...path, "card"], { label: "on cards of", hint: "that are only sold whole" })),
    h("details", { "data-key": JSON.stringify([...path, "more"]) },
      h("summary", {}, "Fullness, ends, waste, sizes, a cloth of its own and more"),
      h("div", { class: "grid" },
        textField([...path, "where"], { label: "where it goes", hint: "in your words" }),
        lengthField([...path, "width"], { label: "width" }),
        numberField([...path, "fullness"], { label: "fullness", hint: "over the edge, as lace that is gathered", placeholder: "1" }),
        numberField([...path, "stretch"], { label: "stretched by, %", hint: "as elastic is", placeholder: "0" }),
        lengthField([...path, "ends"], { label: "for ends", hint: "each length: a join, or both ends turned in", absent: 20 }),
        lengthField([...path, "shorter"], { label: "ends before the edge", hint: "at each end, as boning", absent: 0 }),
        numberField([...path, "waste"], { label: "waste, %", placeholder: "0" }),
        choiceField([...path, "per"], { label: "price is for", choices: [["m", "a metre"], ["yd", "a yard"]], blank: store.unit === "in" ? "a yard" : "a metre" }),
        lengthField([...path, "minimum"], { label: "least sold", absent: 0 }),
        lengthsField([...path, "sizes"], { label: "lengths sold", hint: "from shortest to longest, as 20, 25, 30" }),
        clothChoice([...path, "fabric"], "cut again from", "no cloth: it is bought"))),
  ];
}
