// Folds, grain, notches and seams of the pieces in a drawing, set on their picture; corners and edges moved.

import { button, h, newId } from "./dom.js";
import { textField } from "./fields.js";
import { markPicture } from "./markpicture.js";
import { asked } from "./paper.js";
import { faultPlace, nameOf } from "./places.js";
import { store } from "./store.js";
import { format } from "./units.js";

const TOOLS = [
  ["fold", "fold", "Choose the straight edge that lies on the fold."],
  ["grain", "thread line", "Choose an edge that the thread runs along, or draw it on the piece, from tail to head."],
  ["notch", "notch", "Choose its place on an edge. By keys it comes to the middle: then write how far from the corner."],
  ["seam", "seam", "Name it, then choose its edge."],
  ["move", "move a corner", "Drag a corner. By keys: arrows, with Shift further, then Enter."],
  ["bend", "bend an edge", "Drag an edge outwards or inwards. By keys: up and down, then Enter."],
];

// What was last seen of each drawing, so that the form can be built anew without a gap.
const kept = new Map();
const MM = { mm: 1, cm: 10, in: 25.4 };

const exactly = (mm) => `${Number((mm / MM[store.unit]).toFixed(store.unit === "mm" ? 1 : 2))} ${store.unit}`;

export function marking(path) {
  const file = store.at([...path, "file"]);
  if (!file || !Object.hasOwn(store.drawings, file)) return null;
  const key = nameOf(path);
  const now = kept.get(key)?.file === file ? kept.get(key) : { file, tool: "fold", piece: "", seam: "", found: null, photograph: undefined };
  kept.set(key, now);
  const own = { path, now, told: h("p", { class: "hint marking-told", role: "status" }), place: h("div", { class: "marking-place" }), asked: "" };
  if (now.found) show(own);
  return h("details", { "data-key": JSON.stringify([...path, "marks"]), ontoggle: ({ target }) => { if (target.open) look(own); } },
    h("summary", {}, "Fold, grain, notches and seams on its picture"),
    tools(own), own.place, own.told, texts(path), faultPlace([...path, "marks"]));
}

// Asks for the pieces as the order has them now.
async function look(own) {
  const { path, now } = own;
  if (own.asked === store.now.order) return;
  own.asked = store.now.order;
  own.place.setAttribute("aria-busy", "true");
  const found = await asked(own.told, "/api/paper/corners", {
    order: store.now.order, drawings: { [now.file]: store.drawings[now.file] }, path, photograph: now.photograph === undefined });
  own.place.removeAttribute("aria-busy");
  if (!found) return;
  if (now.photograph === undefined) now.photograph = found.photograph;
  now.found = found;
  show(own);
  if (found.wrong.length) own.told.textContent = found.wrong.join(" ");
}

function tools(own) {
  const { now } = own;
  const name = newId("tool");
  const hint = h("p", { class: "hint" });
  const seam = h("input", { type: "text", id: `${name}-seam`, value: now.seam, autocomplete: "off", onchange: () => { now.seam = seam.value.trim(); } });
  const field = h("div", { class: "field" }, h("label", { for: `${name}-seam` }, "name of the seam"), seam);
  const choose = (tool) => {
    now.tool = tool;
    hint.textContent = TOOLS.find(([one]) => one === tool)[2];
    field.hidden = tool !== "seam";
    if (now.found) show(own);
  };
  const radios = TOOLS.map(([tool, words]) => h("label", { class: "tick" },
    h("input", { type: "radio", name, value: tool, checked: tool === now.tool, onchange: () => choose(tool) }), words));
  choose(now.tool);
  return h("div", {}, h("fieldset", { class: "names" }, h("legend", {}, "What to set"), radios), hint, field);
}

function show(own) {
  const { now, place } = own;
  const { pieces } = now.found;
  const piece = pieces.find((one) => one.name === now.piece) ?? pieces[0];
  if (!piece) return;
  now.piece = piece.name;
  const at = document.activeElement?.closest?.(".marking, .marking-place") && place.contains(document.activeElement)
    ? document.activeElement.getAttribute("aria-label") : null;
  const picture = markPicture(piece, now.photograph, now.tool, hand(own, piece), (mm) => format(mm, store.unit));
  place.replaceChildren(pieces.length > 1 ? pick(own, pieces) : "", picture, said(piece));
  if (at) [...place.querySelectorAll("[aria-label]")].find((one) => one.getAttribute("aria-label") === at)?.focus();
}

function pick(own, pieces) {
  return h("select", { "aria-label": "piece of the drawing", onchange: ({ target }) => {
    own.now.piece = target.value;
    show(own);
  } }, pieces.map((one) => h("option", { value: one.name, selected: one.name === own.now.piece }, one.name)));
}

// What the piece has, in words.
function said(piece) {
  const seams = piece.seams.map((one) => `seam ${one.name}, ${format(one.mm, store.unit)}`);
  const notches = piece.notches.length ? [`${piece.notches.length} ${piece.notches.length === 1 ? "notch" : "notches"}`] : [];
  return h("p", { class: "hint" }, `${piece.name}: ${[piece.fold ? "on the fold" : "not on a fold", ...notches, ...seams].join(", ")}.`);
}

// What each tool does, as the words that stand in the order.
function hand(own, piece) {
  const { now, path } = own;
  const { told } = now.found;
  const put = (words, alike) => store.change([...path, "marks"], (texts) => {
    const all = [...(texts ?? [])];
    // What was seen may be older than the order by an edit or two; then nothing is taken for replaced.
    const index = told.length === all.length ? told.findIndex((one) => one && one.piece === piece.name && alike(one)) : -1;
    all.splice(index < 0 ? all.length : index, index < 0 ? 0 : 1, `${piece.name}: ${words}`);
    return all;
  });
  const tell = (words) => {
    own.told.className = "hint marking-told";
    own.told.textContent = words;
  };
  return {
    tell,
    corner: () => tell("Use the arrow keys, then Enter; or drag it."),
    grain: (deg) => put(`grain ${Number(deg.toFixed(1))} degrees`, (one) => one.kind === "grain"),
    move: (corner, dx, dy) => {
      const old = told.find((one) => one?.piece === piece.name && one.kind === "move" && one.first === corner)?.move_mm ?? [0, 0];
      return put(`move ${corner} by ${exactly(old[0] + dx)}, ${exactly(old[1] + dy)}`, (one) => one.kind === "move" && one.first === corner);
    },
    bend: ({ ends }, by) => {
      const same = (one) => one.kind === "bend" && ends.includes(one.first) && ends.includes(one.last);
      const old = told.find((one) => one?.piece === piece.name && same(one))?.at_mm ?? 0;
      if (Math.abs(by) < 0.05) return tell("Drag it, or use the arrow keys up and down, then Enter.");
      return put(`bend ${ends.join("-")} by ${exactly(old + by)}`, same);
    },
    edge: ({ ends }, at_mm) => {
      const between = ends.join("-");
      if (now.tool === "fold") return put(`fold ${between}`, (one) => one.kind === "fold");
      if (now.tool === "grain") return put(`grain ${between}`, (one) => one.kind === "grain");
      if (now.tool === "notch") return put(`notch ${between} at ${exactly(at_mm)}`, () => false);
      if (now.tool === "seam" && !now.seam) return tell("Name the seam first, as side or shoulder.");
      if (now.tool === "seam") return put(`seam ${now.seam} ${between}`, (one) => one.kind === `seam ${now.seam}`);
      return tell(`corner ${ends[0]} to ${ends[1]}`);
    },
  };
}

// The words themselves, to change or take out.
function texts(path) {
  const marks = store.at([...path, "marks"]);
  const all = Array.isArray(marks) ? marks : [];
  const out = (text) => store.change([...path, "marks"], (now) => {
    const left = (now ?? []).filter((one) => one !== text);
    return left.length ? left : null;
  });
  return h("div", { "data-path": nameOf([...path, "marks"]) }, all.map((text, index) => h("div", { class: "mark-line" },
    textField([...path, "marks", index], { label: `mark ${index + 1}`, wide: true }),
    button("Remove", () => out(text), { "aria-label": `Remove mark ${index + 1}: ${text}` }))));
}
