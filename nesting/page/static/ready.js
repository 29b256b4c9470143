// Pieces given directly: by their corners, or as drawings.

import { button, h, unused } from "./dom.js";
import { GRAINS, addDrawing, drawingRow } from "./drawings.js";
import { choiceField, clothChoice, cloths, flagField, lengthField, numberField, textField } from "./fields.js";
import { drawing } from "./pieces.js";
import { countsOf, nameOf, faultPlace } from "./places.js";
import { cornersPicture, edgeField, pointsTable } from "./points.js";
import { photographs } from "./photographs.js";
import { ownPoints, printFields } from "./prints.js";
import { marksOf, row, unfoldNext } from "./rows.js";
import { seamCards } from "./seams.js";
import { store } from "./store.js";

const HEADS = ["along", "across"];
const SIZE = { mm: [300, 200], cm: [30, 20], in: [12, 8] };

export function readyCards(seen) {
  return (store.table.piece ?? []).map((piece, index) => card(["piece", index], piece, seen));
}

export function readyButtons() {
  return h("div", { class: "ready-add" },
    button("Add a piece by its corners", byCorners, { class: "add" }),
    addDrawing(byDrawing, "Add a drawing (DXF, SVG or PDF)", "button add"),
    photographs(byDrawing), seamCards());
}

const put = (make) => store.edit(() => {
  const path = ["piece", (store.table.piece ?? []).length];
  unfoldNext(path);
  return { do: "put", path, value: make() };
});

const firstCloth = () => (cloths().length ? { fabric: cloths()[0] } : {});

export const byDrawing = (file) => put(() => ({ file, ...firstCloth() }));

const byCorners = () => put(() => {
  const name = unused("piece", (store.table.piece ?? []).map((one) => one.name));
  const [long, wide] = SIZE[store.unit];
  return { name, ...firstCloth(), outline: [[0, 0], [long, 0], [long, wide], [0, wide]] };
});

function card(path, piece, seen) {
  const title = piece.name ?? piece.file ?? "a piece";
  return row(path, { kind: "ready-piece", name: title, tell: () => told(path), inside: () => inside(path, title, seen) });
}

function told(path) {
  const piece = store.at(path) ?? {};
  const drawn = (store.seen?.drawn ?? []).find((one) => nameOf(one.path) === nameOf(path))?.pieces ?? [];
  const { faults, doubts } = countsOf(path);
  return {
    picture: [JSON.stringify(drawn.map((one) => one.outline)), () => (drawn.length ? drawing(drawn, { height: 46, most: 2 }) : "")],
    name: piece.name ?? piece.file ?? "a piece",
    line: [piece.fabric ? `in ${piece.fabric}` : "no cloth yet", piece.garment ? `for ${piece.garment}` : null,
      piece.outline ? `${piece.outline.length} corners` : piece.file, piece.cut ? `${piece.cut} of it` : null,
      piece.pair ? "left and right" : null].filter(Boolean).join(", "),
    side: [`${faults} ${doubts}`, () => marksOf(path)],
  };
}

function inside(path, title, seen) {
  const piece = store.at(path);
  const corners = Array.isArray(piece.outline) ? cornersPicture(piece.outline, [piece.on_fold, piece.second_fold]) : null;
  const picture = h("span", { class: "part-picture" }, corners);
  const curved = piece.curves ? h("span", { class: "part-picture" }) : null;
  if (!corners || piece.curves) seen.push({ path, node: corners ? curved : picture });
  return [
    h("div", { class: "sheet-head" },
      textField([...path, "name"], { label: "name" }), wearerChoice(path),
      h("div", { class: "tools" }, button("Remove", () => store.edit({ do: "take", path }), { "aria-label": `Remove ${title}` }))),
    picture, curved, faultPlace(path),
    piece.file !== undefined ? drawingRow(path) : cornersOf(path, piece),
    printFields(path, piece),
  ];
}

const wearerChoice = (path) => choiceField([...path, "garment"], {
  label: "for", choices: (store.table.garment ?? []).map((one) => one.name).filter(Boolean), blank: "nobody in particular",
});

function cornersOf(path, piece) {
  const { outline } = piece;
  return [
    h("div", { class: "grid" },
      clothChoice([...path, "fabric"], "cloth", "choose one"),
      numberField([...path, "cut"], { label: "how many", placeholder: "1" }),
      flagField([...path, "pair"], { label: "left and right", hint: "each comes with its mirror image" }),
      edgeField([...path, "on_fold"], outline, { label: "on the fold", blank: "not on a fold", hint: "draw one half, from the fold outwards" }),
      edgeField([...path, "second_fold"], outline, { label: "on a second fold", blank: "not on a second fold", hint: "draw a quarter, for the corner of two folds" }),
      edgeField([...path, "grain"], outline, { label: "thread line", blank: "along", others: [[[[0, 0], [0, 10]], "across"]] }),
      choiceField([...path, "grain_rule"], { label: "thread runs", choices: GRAINS, absent: "lengthwise" }),
      lengthField([...path, "allowance"], { label: "allowance to add", hint: "left blank: the outline is the line to cut" })),
    h("div", { class: "grid" },
      textField([...path, "curves"], { label: "curves", hint: "from corner to corner, as 2-5, 7-9" }),
      textField([...path, "seams"], { label: "seams", hint: "as side: 2-3; waist: 4-6" }),
      textField([...path, "measured"], { label: "measured along it", hint: "as 2-5: 31.5; 6-1: 12 1/4 in" })),
    pointsTable([...path, "outline"], HEADS, "Corners, in the order in which you would walk round the piece"),
    h("details", { "data-key": JSON.stringify([...path, "points"]) },
      h("summary", {}, "Points of its own"), ownPoints(path)),
  ];
}
