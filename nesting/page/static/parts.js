// The parts of a garment: picked from pictures of the drafts, each with its cloth and measures.

import { pictures } from "./catalogue.js";
import { button, h } from "./dom.js";
import { addDrawing, drawingRow } from "./drawings.js";
import { choiceField, clothChoice, cloths, flagField, lengthField, numberField, textField } from "./fields.js";
import { drawing } from "./pieces.js";
import { printFields } from "./prints.js";
import { faultPlace } from "./places.js";
import { store } from "./store.js";
import { written } from "./units.js";

const FIRST = ["style", "kind", "circle", "neck", "waist", "closing", "edge", "length", "depth", "width",
  "fullness", "at_waist", "pockets", "ends"];

// A part just added opens when the form is next built.
let next = "";
const openNext = (path) => { next = JSON.stringify(path); };
export function takeNext() {
  const key = next;
  next = "";
  return key;
}

export function optionField(path, option) {
  const { label, hint, blank, kind } = option;
  if (kind === "flag") return flagField(path, { label, hint: full(option), absent: option.default });
  if (kind === "choice") {
    return choiceField(path, { label, hint: full(option), choices: option.choices, absent: option.default });
  }
  const told = blank && option.default === null ? `${hint}. Left blank: ${blank}` : hint;
  if (kind === "length") return lengthField(path, { label, hint: told, absent: option.default });
  const placeholder = option.default === null ? undefined : String(option.default);
  if (kind === "text") return textField(path, { label, hint: told, placeholder });
  return numberField(path, { label, hint: told, placeholder });
}

const full = ({ hint, blank }) => [hint, blank].filter(Boolean).join("; ");

export function partsOf(garment, catalogue, seen) {
  const path = ["garment", garment, "part"];
  const parts = store.at(path) ?? [];
  const rows = parts.map((part, index) => row([...path, index], part, catalogue, seen, parts.length));
  return h("section", { class: "parts", "aria-label": "Parts" },
    h("h3", {}, "Parts"),
    faultPlace(path),
    h("ol", { class: "part-list" }, rows),
    button("Add a part", () => pick(path, parts, catalogue), { class: "add" }));
}

function row(path, part, catalogue, seen, count) {
  const index = path.at(-1);
  const draft = catalogue.drafts.find((one) => one.name === part.draft);
  const title = part.draft ?? part.file ?? "a part";
  const picture = h("span", { class: "part-picture" });
  seen.push({ path, node: picture, draft: part.draft });
  const move = (to, words, off) => button(words, () => store.edit({ do: "move", path, to }),
    { disabled: off, "aria-label": `${title}: ${words.toLowerCase()}` });
  return h("li", {},
    h("details", { class: "part", "data-key": JSON.stringify(path) },
      h("summary", {}, picture, h("strong", {}, title), h("span", { class: "part-line" }, line(part, draft))),
      h("div", { class: "part-body" },
        faultPlace(path),
        draft ? draftFields(path, part, draft) : [textField([...path, "name"], { label: "name" }), drawingRow(path)],
        printFields(path, part),
        h("div", { class: "tools" },
          move(index - 1, "Earlier", index === 0), move(index + 1, "Later", index === count - 1),
          button("Remove", () => store.edit({ do: "take", path }), { "aria-label": `Remove ${title}` })))));
}

// What the order says of a part, on one line.
function line(part, draft) {
  const words = [part.fabric ? `in ${part.fabric}` : "no cloth yet"];
  if (part.lining) words.push(`lined with ${part.lining}`);
  for (const { name, label, kind } of draft?.options ?? []) {
    const value = part[name];
    if (value === undefined) continue;
    if (kind === "length") words.push(`${label} ${written(value, store.unit)}${typeof value === "number" ? ` ${store.unit}` : ""}`);
    else if (kind === "flag") words.push(value ? label : `not ${label}`);
    else words.push(kind === "choice" ? String(value) : `${label} ${value}`);
  }
  for (const key of ["seam_allowance", "hem_allowance"]) {
    if (part[key] !== undefined) words.push(`${key.replace("_", " ")} ${written(part[key], store.unit)}${typeof part[key] === "number" ? ` ${store.unit}` : ""}`);
  }
  if (part.match?.length) words.push(`print meets at ${part.match.join(" and ")}`);
  if (part.motif?.length) words.push(`motif on ${[part.motif].flat().join(" and ")}`);
  if (part.border) words.push("hem on the border");
  return words.join(", ");
}

function draftFields(path, part, draft) {
  const isFirst = ({ name }) => FIRST.includes(name) || part[name] !== undefined;
  const field = (option) => optionField([...path, option.name], option);
  return [
    h("div", { class: "grid" },
      clothChoice([...path, "fabric"], "cloth", "choose one"),
      clothChoice([...path, "lining"], "lining", "none"),
      draft.options.filter(isFirst).map(field)),
    h("details", { "data-key": JSON.stringify([...path, "more"]) },
      h("summary", {}, `More measures of the ${draft.name}`),
      h("div", { class: "grid" },
        draft.options.filter((option) => !isFirst(option)).map(field),
        lengthField([...path, "seam_allowance"], { label: "seam allowance", hint: "left blank: the order's" }),
        lengthField([...path, "hem_allowance"], { label: "hem allowance", hint: "left blank: the order's" }))),
  ];
}

async function pick(path, parts, catalogue) {
  const dialog = h("dialog", { class: "picker", "aria-label": "Add a part" });
  const last = parts.at(-1)?.fabric ?? cloths()[0];
  const cloth = last ? { fabric: last } : {}; // without one it has to be chosen
  const add = async (value) => {
    dialog.close();
    openNext([...path, parts.length]);
    await store.edit({ do: "put", path: [...path, parts.length], value });
  };
  const cards = catalogue.drafts.map((draft) => {
    const place = h("span", { class: "picture" });
    const card = h("button", { type: "button", class: "card", "data-draft": draft.name,
      onclick: () => add({ draft: draft.name, ...cloth }) },
    place, h("strong", {}, draft.name), h("span", {}, draft.description));
    return { draft, place, card };
  });
  dialog.append(
    h("div", { class: "picker-head" }, h("h2", {}, "Add a part"), button("Close", () => dialog.close())),
    h("p", { class: "hint" }, "The pictures are drawn by the drafts themselves, for a child of four."),
    h("div", { class: "cards" }, cards.map((one) => one.card)),
    h("p", {}, "Or pieces of your own: ", addDrawing((name) => add({ file: name, ...cloth }))));
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  const drawn = await pictures().catch(() => ({}));
  for (const { draft, place } of cards) {
    if (drawn[draft.name]?.length) place.replaceChildren(drawing(drawn[draft.name], { height: 92, label: draft.name }));
  }
}

// The pieces of each part as they come out for this wearer; the draft's own picture till then.
export async function drawParts(places) {
  const found = new Map();
  for (const { path, pieces } of store.seen?.drawn ?? []) found.set(JSON.stringify(path), pieces);
  for (const { path, node, draft } of places) {
    const pieces = found.get(JSON.stringify(path));
    if (pieces?.length) {
      const key = JSON.stringify(pieces);
      if (node.dataset.drawn === key) continue;
      node.dataset.drawn = key;
      node.classList.remove("sample");
      node.replaceChildren(drawing(pieces));
    } else if (!node.firstChild && draft) {
      const drawn = await pictures().catch(() => ({}));
      if (drawn[draft]?.length && !node.firstChild) {
        node.classList.add("sample");
        node.replaceChildren(drawing(drawn[draft], { label: `${draft}, as a sample` }));
      }
    }
  }
}
