// A picture of a layout: the cloth as it lies, folds as thick lines, pieces in the colours and weaves
// of their wearers.

import { s } from "./dom.js";
import { colourClass, weaves } from "./weaves.js";

export const inWords = (lay) => lay.replaceAll("-", " ");

// How a layout lies, as the lists call it.
export const liesAs = ({ lay, shape }) => inWords(lay) + (shape?.section ? ", end open" : "");

const path = (outline) => `M${outline.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;

// `entry` has table_length_mm, shape and placements; `numbers` tells wearers apart; `longest` is drawn
// over the whole width.
/** @param {any} entry @param {Map<string, number>} numbers @param {Record<string, any>} how */
export function smallMarker(entry, numbers, { longest, label, wide = 180 }) {
  const { shape, placements, table_length_mm: long } = entry;
  const { low, high, under, over, place } = clothOf(shape, long);
  const span = Math.max(longest ?? long, long);
  const edge = span * 0.008;
  const woven = weaves(numbers.size);
  woven.scale(span / wide);
  return s("svg", {
    class: "marker", role: "img", "aria-label": label,
    // The fold, or the lower selvedge, lies nearest to whoever looks: y runs up.
    viewBox: `${-edge} ${-high - edge} ${span + 2 * edge} ${high - low + 2 * edge}`,
  }, woven.defs, s("g", { transform: "scale(1 -1)" }, under, placements.map((one) => pieceOf(one, place, numbers, woven)), over));
}

function pieceOf(one, place, numbers, woven) {
  const d = path(place(one));
  const number = numbers.get(one.garment);
  const fill = woven.fill(number);
  return [s("path", { class: `piece ${colourClass(number)}`, d }, s("title", {}, [one.garment, one.piece].filter(Boolean).join(": "))),
    fill ? s("path", { fill, d, class: "texture" }) : null];
}

// The cloth of a layout `long` mm: what is drawn under the pieces and over them, how far it
// reaches across, and where a piece is drawn.
export function clothOf(shape, long) {
  const folded = shape.section ? shape.section.from_mm : long;
  const low = shape.folds_mm.includes(0) ? 0 : -shape.selvedge_mm;
  const high = shape.depth_mm + (shape.folds_mm.includes(shape.depth_mm) ? 0 : shape.selvedge_mm);
  const opened = sectionOf(shape);
  const line = (y, kind) => s("path", { class: kind, d: `M0 ${y}H${folded}` });
  const upright = (x) => s("path", { class: "fold", d: `M${x} ${low}V${high}` });
  const clear = (/** @type {number[]} */ [from, to], x, width) => s("rect", { class: "clear", x, y: from, width, height: to - from });
  return {
    low: Math.min(low, opened.low), high: Math.max(high, opened.high), place: opened.place,
    under: [
      s("rect", { class: "selvedges", x: 0, y: low, width: folded, height: high - low }),
      shape.bands_mm.map((band) => clear(band, 0, folded)),
      shape.section && s("rect", { class: "selvedges", x: folded, y: opened.low, width: long - folded, height: opened.high - opened.low }),
      shape.section && clear(opened.clear, folded, long - folded),
    ],
    over: [
      shape.inner_edges_mm.map((y) => line(y, "inner-edge")),
      shape.folds_mm.map((y) => line(y, "fold")),
      shape.fold_start ? upright(0) : null,
      shape.fold_end ? upright(long) : null,
    ],
  };
}

// An opened-out section lies on both sides of a fold along the cloth; its own y begins below.
export function sectionOf({ section, selvedge_mm: selvedge }) {
  if (!section) return { low: Infinity, high: -Infinity, place: (one) => one.outline_mm };
  const below = section.below_mm, top = section.depth_mm - below;
  return {
    low: -below - selvedge, high: top + selvedge, clear: [-below, top],
    place: (one) => (one.section === "opened-out" ? one.outline_mm.map(([x, y]) => [x, y - below]) : one.outline_mm),
  };
}
