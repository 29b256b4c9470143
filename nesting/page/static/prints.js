// Where a print is to meet: points of a part's pieces, a motif that is centred, hems on a border.

import { button, h, unused } from "./dom.js";
import { flagField, lengthField, namesField } from "./fields.js";
import { store } from "./store.js";

// The points of the pieces, as they were last drawn.
const last = new Map();
function pointsOf(path) {
  const key = JSON.stringify(path);
  const here = (store.seen?.drawn ?? []).find((one) => JSON.stringify(one.path) === key);
  if (here) last.set(key, [...new Set(here.pieces.flatMap((piece) => piece.points))]);
  return last.get(key) ?? [];
}

const KEYS = ["match", "motif", "border"];

export function printFields(path, part) {
  const cloths = [part.fabric, part.lining].map((name) => store.table.fabric?.[name]).filter(Boolean);
  const printed = cloths.some((one) => one.repeat || one.border) || KEYS.some((key) => part[key] !== undefined);
  if (!printed) return null;
  const names = () => pointsOf(path);
  return h("div", { class: "print", role: "group", "aria-label": "Print" },
    h("h3", {}, "Print"),
    namesField([...path, "match"], { label: "the print meets at", names,
      hint: "Pieces of this wearer and cloth that name the same point are laid so that it falls on the same place of the repeat." }),
    namesField([...path, "motif"], { label: "a motif is centred on", names,
      hint: "The flower, check or stripe that is to show, one in each repeat." }),
    flagField([...path, "border"], { label: "hem on the border print", hint: "the piece lies across the cloth, its hem against that selvedge" }));
}

// Points of its own that a ready piece has, by name.
export function ownPoints(path) {
  const points = store.at([...path, "points"]) ?? {};
  const rows = Object.keys(points).map((name) => {
    const here = [...path, "points", name];
    const rename = (value) => store.edit({ do: "take", path: here }, { do: "set", path: [...path, "points", value], value: points[name] });
    const control = h("input", { type: "text", value: name, "aria-label": "name of the point", autocomplete: "off",
      onchange: () => (control.value.trim() && control.value.trim() !== name ? rename(control.value.trim()) : null) });
    return h("li", {}, h("div", { class: "grid" },
      h("div", { class: "field" }, h("div", { class: "point-name" }, "point"), h("div", { class: "control" }, control)),
      lengthField([...here, "along"], { label: "along the grain", hint: "from the tail of the grain" }),
      lengthField([...here, "across"], { label: "across it", hint: "from the fold, or the edge at the right hand as you look along the grain" })),
    h("div", { class: "tools" }, button("Remove", () => store.edit({ do: "take", path: here }), { "aria-label": `Remove the point ${name}` })));
  });
  return h("div", { class: "own-points", role: "group", "aria-label": "Points of its own", "data-path": JSON.stringify([...path, "points"]) },
    h("h3", {}, "Points of its own"), h("p", { class: "hint" }, "At which a print can meet, beside its top, its hem, its middle and its notches."),
    h("ol", {}, rows),
    button("Add a point", () => store.edit({ do: "set", path: [...path, "points", unused("point", Object.keys(points))], value: { along: 0 } }), { class: "add" }));
}
