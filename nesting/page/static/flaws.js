// Flaws of a cloth, or of a length of it: places that are cut round.

import { button, h } from "./dom.js";
import { lengthField } from "./fields.js";
import { pointsTable } from "./points.js";
import { faultPlace } from "./places.js";
import { store } from "./store.js";

const HEADS = ["from the cut end", "from the lower edge"];
const SIZE = { mm: [100, 150], cm: [10, 15], in: [4, 6] };

export function flawsOf(path, name) {
  const flaws = store.at(path) ?? [];
  const [from, to] = SIZE[store.unit];
  return h("section", { class: "flaws", "aria-label": `Flaws of ${name}` },
    h("h3", {}, "Flaws"),
    flaws.length ? h("p", { class: "hint" }, "Places to cut round, right side up, on the cloth as bought: along it from the squared cut end, "
      + "across it from the lower edge, selvedge and all.") : null,
    faultPlace(path),
    h("ol", {}, flaws.map((flaw, index) => row([...path, index], flaw, index, name))),
    button("Add a flaw", () => store.edit({ do: "put", path: [...path, flaws.length], value: { from, to } }), { class: "add" }));
}

function row(path, flaw, index, name) {
  const remove = button("Remove", () => store.edit({ do: "take", path }), { "aria-label": `Remove flaw ${index + 1} of ${name}` });
  if (flaw.outline !== undefined) return h("li", {}, pointsTable([...path, "outline"], HEADS, `Outline of flaw ${index + 1}`), faultPlace(path), remove);
  const across = [...path, "across"];
  const partly = Array.isArray(flaw.across);
  const width = store.at(path.slice(0, 2))?.width ?? 0;
  return h("li", {}, faultPlace(path), h("div", { class: "grid" },
    lengthField([...path, "from"], { label: "along, from" }),
    lengthField([...path, "to"], { label: "along, to" }),
    partly ? [lengthField([...across, 0], { label: "across, from" }), lengthField([...across, 1], { label: "across, to" })] : null),
  faultPlace(across),
  h("div", { class: "tools" },
    partly ? button("It runs all across", () => store.change(across, null))
      : button("It is only part of the width", () => store.change(across, [0, width])),
    button("Give its outline", () => store.change(path, { outline: corners(flaw, width) })), remove));
}

function corners({ from, to, across }, width) {
  const [low, high] = across ?? [0, width];
  return [[from ?? 0, low], [to ?? 0, low], [to ?? 0, high], [from ?? 0, high]];
}
