// A small picture of a layout: the cloth as it lies, folds as thick lines, pieces in the pale
// colours of their garments.

import { s } from "./dom.js";

export const PALE = ["#bcd9ec", "#f3dfae", "#c9e2cf", "#e7cfe0", "#f2c8b4", "#d9d6ee", "#e3e3b5", "#d2d2d2"];

export const coloursOf = (garments) =>
  new Map([...new Set(garments)].map((name, index) => [name, PALE[index % PALE.length]]));

export const inWords = (lay) => lay.replaceAll("-", " ");

const path = (outline) => `M${outline.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;

// `entry` has table_length_mm, shape and placements; `longest` is drawn over the whole width.
export function smallMarker(entry, colours, { longest, label }) {
  const { shape, placements, table_length_mm: long } = entry;
  const low = shape.folds_mm.includes(0) ? 0 : -shape.selvedge_mm;
  const high = shape.depth_mm + (shape.folds_mm.includes(shape.depth_mm) ? 0 : shape.selvedge_mm);
  const span = Math.max(longest ?? long, long);
  const edge = span * 0.008;
  const line = (y, kind) => s("path", { class: kind, d: `M0 ${y}H${long}` });
  return s("svg", {
    class: "marker", role: "img", "aria-label": label,
    // The fold, or the lower selvedge, lies nearest to whoever looks: y runs up.
    viewBox: `${-edge} ${-high - edge} ${span + 2 * edge} ${high - low + 2 * edge}`,
  }, s("g", { transform: "scale(1 -1)" },
    s("rect", { class: "selvedges", x: 0, y: low, width: long, height: high - low }),
    shape.bands_mm.map(([from, to]) => s("rect", { class: "clear", x: 0, y: from, width: long, height: to - from })),
    placements.map((one) => s("path", { class: "piece", d: path(one.outline_mm), fill: colours.get(one.garment) ?? PALE[0] },
      s("title", {}, [one.garment, one.piece].filter(Boolean).join(": ")))),
    shape.inner_edges_mm.map((y) => line(y, "inner-edge")),
    shape.folds_mm.map((y) => line(y, "fold")),
    shape.fold_end ? s("path", { class: "fold", d: `M${long} ${low}V${high}` }) : null));
}
