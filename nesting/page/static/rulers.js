// Rulers along two sides of a board, and a tape to lay between two points of the cloth.

import { s } from "./dom.js";
import { amount, format } from "./units.js";

export const RULER_PX = 26;
const STEPS_MM = {
  in: [25.4 / 8, 25.4 / 4, 25.4 / 2, 25.4, 50.8, 76.2, 152.4, 304.8, 914.4],
  cm: [1, 5, 10, 50, 100, 200, 500, 1000],
};

// `view` has left, top, size in px, mmPerPx; `across` where the cloth's own edge lies, `extent` how
// far it reaches.
/** @param {any} view @param {string} unit */
export function rulers({ left, top, size, mmPerPx: px, across: [edge], extent }, unit) {
  const steps = STEPS_MM[unit === "in" ? "in" : "cm"];
  const marked = steps.find((step) => step / px >= 62) ?? steps.at(-1);
  const fine = steps.find((step) => step / px >= 6) ?? marked;
  const [wide, tall] = [size[0] * px, size[1] * px];
  const band = RULER_PX * px;
  const ticks = [];
  const texts = [];
  const text = (x, y, words, anchor) => texts.push(s("text", { x, y, "font-size": 11 * px, "text-anchor": anchor }, words));
  const isMajor = (mm) => Math.abs(mm / marked - Math.round(mm / marked)) < 1e-6;
  for (let n = Math.ceil(Math.max(0, left) / fine); n * fine <= Math.min(extent.long, left + wide); n += 1) {
    const mm = n * fine;
    ticks.push(`M${mm} ${top + band}v${-(isMajor(mm) ? 9 : 5) * px}`);
    if (isMajor(mm)) text(mm + 3 * px, top + 12 * px, amount(mm, unit), "start");
  }
  // Across, from the cloth's edge, selvedge and all, or from the fold: as the steps tell places.
  for (let n = Math.ceil(Math.max(0, -(top + tall) - edge) / fine); n * fine <= Math.min(extent.high, -top) - edge; n += 1) {
    const mm = n * fine;
    ticks.push(`M${left + band} ${-edge - mm}h${-(isMajor(mm) ? 9 : 5) * px}`);
    if (isMajor(mm)) text(left + 3 * px, -edge - mm - 3 * px, amount(mm, unit), "start");
  }
  const corner = s("text", { x: left + 4 * px, y: top + 16 * px, "font-size": 12 * px, class: "unit" }, unit);
  return [
    s("rect", { class: "ruler", x: left, y: top, width: wide, height: band }),
    s("rect", { class: "ruler", x: left, y: top, width: band, height: tall }),
    s("path", { class: "ticks", d: ticks.join("") }), ...texts,
    s("rect", { class: "ruler", x: left, y: top, width: band, height: band }), corner];
}

// A tape laid from one point of the cloth to another, in mm, with what it measures.
export function laidTape([[x0, y0], [x1, y1]], px, unit) {
  const long = Math.hypot(x1 - x0, y1 - y0);
  const [mx, my] = [(x0 + x1) / 2, -(y0 + y1) / 2];
  return [
    s("path", { class: "tape-line", d: `M${x0} ${-y0}L${x1} ${-y1}` }),
    s("circle", { class: "tape-end", cx: x0, cy: -y0, r: 5 * px }), s("circle", { class: "tape-end", cx: x1, cy: -y1, r: 5 * px }),
    s("text", { class: "tape-words", x: mx, y: my - 8 * px, "font-size": 15 * px, "text-anchor": "middle" }, format(long, unit))];
}
