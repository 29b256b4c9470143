// Cards of the order that fold to one line. What is inside is built when a card is first opened, so
// that an order of many wearers stays quick.

import { h } from "./dom.js";
import { countsOf, nameOf } from "./places.js";

let rows = new Map();
let unfolded = new Set();
let built = () => {};

// `then` is called after what is inside a card has been built.
export function begin(then) {
  unfolded = new Set([...rows].filter(([, row]) => row.details.open).map(([key]) => key));
  rows = new Map();
  built = then;
}

// A card just added is open when the form is next built.
let next = "";
export const unfoldNext = (path) => { next = nameOf(path); };

// `tell` gives {picture, name, line, side} as they are now; `inside` builds what is folded away.
export function row(path, { kind, name, tell, inside }) {
  const key = nameOf(path);
  const parts = { picture: h("span", { class: "row-picture" }), name: h("strong", { class: "row-name" }),
    line: h("span", { class: "row-line" }), side: h("span", { class: "row-side" }) };
  const body = h("div", { class: "row-body" });
  const details = h("details", { class: "folds", "data-key": key, ontoggle: () => { if (details.open) fill(); } },
    h("summary", {}, Object.values(parts)), body);
  const node = h("article", { class: `${kind} row sheet`, "aria-label": name }, details);
  let filled = false;
  function fill() {
    if (filled) return;
    filled = true;
    body.append(...[inside()].flat(3).filter(Boolean));
    built();
  }
  const own = { node, details, parts, shown: {},
    unfold() {
      details.open = true;
      fill();
    },
    show() {
      const told = tell();
      for (const [part, place] of Object.entries(parts)) put(own, part, place, told[part]);
    } };
  rows.set(key, own);
  if (unfolded.has(key) || key === next) own.unfold();
  if (key === next) next = "";
  return node;
}

// Only what has changed is drawn anew. A picture comes as [key, how to draw it].
function put(own, part, place, told) {
  const [key, draw] = Array.isArray(told) && typeof told[1] === "function" ? told : [JSON.stringify(told), () => told];
  if (own.shown[part] === key) return;
  own.shown[part] = key;
  place.replaceChildren(...[draw()].flat().filter((one) => one !== null && one !== undefined));
}

export const showRows = () => { for (const own of rows.values()) own.show(); };
export const rowOf = (path) => rows.get(nameOf(path.slice(0, 2))) ?? rows.get(nameOf(path.slice(0, 1)));
export const unfoldFor = (path) => rowOf(path)?.unfold();
export const allRows = () => [...rows.values()];

// What is wrong, or odd, with all of a card.
export function marksOf(path) {
  const { faults, doubts } = countsOf(path);
  if (!faults && !doubts) return null;
  return h("span", { class: "marks" },
    faults ? h("span", { class: "mark-fault" }, `${faults} to put right`) : null,
    doubts ? h("span", { class: "mark-doubt" }, `${doubts} to look at`) : null);
}
