// Wearers: who each garment is for, with measures from the tape and from a size table.

import { button, h, unused } from "./dom.js";
import { figure } from "./figure.js";
import { choiceField, lengthField, numberField, textField } from "./fields.js";
import { partsOf } from "./parts.js";
import { drawing } from "./pieces.js";
import { countsOf, faultPlace } from "./places.js";
import { marksOf, row, unfoldNext } from "./rows.js";
import { store } from "./store.js";
import { format } from "./units.js";
import { bookMeasure, wearerFromBook } from "./wearersbook.js";

export function wearerCard(index, catalogue, places, notes) {
  const path = ["garment", index];
  const title = store.at([...path, "name"]) || "A wearer";
  return row(path, { kind: "wearer", name: title, tell: () => told(path), inside: () => inside(path, title, catalogue, places, notes) });
}

// On its line: the first pieces as they come out, who it is, and what is sewn.
function told(path) {
  const wearer = store.at(path) ?? {};
  const pieces = (store.seen?.drawn ?? []).filter(({ path: at }) => at[0] === "garment" && at[1] === path[1])
    .flatMap((one) => one.pieces.slice(0, 1)).slice(0, 3);
  const { faults, doubts } = countsOf(path);
  return {
    picture: [JSON.stringify(pieces.map((one) => one.outline)), () => (pieces.length ? drawing(pieces, { height: 46, most: 3 }) : "")],
    name: wearer.name || "A wearer",
    line: line(wearer),
    side: [`${faults} ${doubts}`, () => marksOf(path)],
  };
}

function line(wearer) {
  const taken = Object.keys(wearer.body ?? {}).length;
  const sewn = new Map();
  for (const { draft, file, name } of wearer.part ?? []) sewn.set(draft ?? name ?? file, (sewn.get(draft ?? name ?? file) ?? 0) + 1);
  return [
    [wearer.wearer ? "measures from the book" : null, wearer.size, taken ? `${taken} ${taken === 1 ? "measure" : "measures"} taken` : null, wearer.quantity > 1 ? `${wearer.quantity} alike` : null].filter(Boolean).join(", "),
    [...sewn].map(([what, count]) => (count > 1 ? `${what} × ${count}` : what)).join(", ") || "nothing to sew yet",
  ].filter(Boolean).join("; ");
}

function inside(path, title, catalogue, places, notes) {
  const [, index] = path;
  return [
    h("div", { class: "sheet-head" },
      textField([...path, "name"], { label: "name" }),
      sizeChoice([...path, "size"], catalogue),
      numberField([...path, "quantity"], { label: "garments alike", placeholder: "1" }),
      shared(store.at(path)) ? numberField([...path, "priority"], { label: "comes first", placeholder: String(index + 1),
        hint: "the lower number comes first where what is in hand is not enough for all; left blank: as they stand here" }) : null,
      h("div", { class: "tools" },
        button("Copy", () => copy(index), { "aria-label": `Copy ${title}` }),
        button("Remove", () => store.edit({ do: "take", path }), { "aria-label": `Remove ${title}` }))),
    faultPlace(path),
    measures(path, catalogue, notes),
    partsOf(index, catalogue, places),
  ];
}

const shared = (wearer) => wearer.priority !== undefined
  || Object.values(store.table.fabric ?? {}).some((one) => one.in_hand?.length);

function sizeChoice(path, catalogue) {
  const choices = Object.keys(catalogue.sizes).map((name) => [name, /^\d+ cm$/.test(name) ? `${name} tall` : name]);
  return choiceField(path, { label: "size table", choices, blank: "none: all measured" });
}

function measures(path, catalogue, notes) {
  const fields = new Map();
  const shape = figure(catalogue.measures, (name) => fields.get(name)?.querySelector("input").focus());
  const list = catalogue.measures.map(({ name, label, hint }, index) => {
    const note = h("p", { class: "table-value" });
    const node = lengthField([...path, "body", name], { label: `${index + 1} ${label}`, hint, note });
    const on = (yes) => () => shape.mark(name, yes);
    node.addEventListener("focusin", on(true));
    node.addEventListener("focusout", on(false));
    node.addEventListener("pointerenter", on(true));
    node.addEventListener("pointerleave", on(false));
    fields.set(name, node);
    notes.push(() => filled(note, path, name, catalogue));
    return node;
  });
  return h("section", { class: "measures", "aria-label": "Measures" },
    h("div", { class: "figure-place" }, shape.node),
    h("div", {}, h("h3", {}, "Measures"), h("p", { class: "hint" },
      "Measure over light clothing, the tape neither tight nor loose. What is left blank comes from the book, or else from the size table."),
    wearerFromBook(path, catalogue),
    h("div", { class: "grid" }, list)));
}

// What the book or the table gives where the tape gave nothing, in words beside the field.
function filled(note, path, name, catalogue) {
  const size = store.at([...path, "size"]);
  const taped = store.at([...path, "body", name]) !== undefined;
  const kept = bookMeasure(path, name, catalogue);
  const row = typeof size === "string" ? catalogue.sizes[size.toLowerCase().split(/\s+/).join(" ")] : undefined;
  const mm = kept ?? row?.[name];
  const from = kept === undefined ? "table" : "book";
  note.classList.toggle("used", !taped && mm !== undefined);
  if (mm === undefined) note.textContent = taped ? "" : "not known";
  else note.textContent = taped ? `${from}: ${format(mm, store.unit)}` : `${format(mm, store.unit)}, ${from}`;
}

const copy = (index) => store.edit(() => {
  const wearer = structuredClone(store.at(["garment", index]));
  if (!wearer) return null;
  wearer.name = unused(wearer.name, (store.table.garment ?? []).map((one) => one.name), 2);
  unfoldNext(["garment", index + 1]);
  return { do: "put", path: ["garment", index + 1], value: wearer };
});

export const newWearer = () => store.edit(() => {
  const wearers = store.table.garment ?? [];
  const value = { name: unused("wearer", wearers.map((one) => one.name)), size: "4 years" };
  unfoldNext(["garment", wearers.length]);
  return { do: "put", path: ["garment", wearers.length], value };
});
