// Small pictures of drafted pieces, all of a group to one scale, as paths that the server gives.

import { s } from "./dom.js";

const GAP = 0.08;

/** @param {any[]} pieces @param {Record<string, any>} how */
export function drawing(pieces, { label, height = 96, most = 4 } = {}) {
  const shown = pieces.slice(0, most);
  const tall = Math.max(...shown.map((one) => one.size[1]), 1);
  const gap = Math.max(...shown.map((one) => Math.max(...one.size))) * GAP;
  const wide = shown.reduce((sum, one) => sum + one.size[0], 0) + gap * (shown.length + 1);
  const full = tall + 2 * gap;
  let x = gap;
  const groups = shown.map((one) => {
    const group = s("g", { transform: `translate(${x} ${gap + tall - one.size[1]})` },
      s("path", { class: "cut", d: one.outline }),
      one.sewing && s("path", { class: "sew", d: `${one.sewing}Z` }),
      one.fold && s("path", { class: "fold", d: one.fold }),
      one.inside && s("path", { class: "inside", d: one.inside }));
    x += one.size[0] + gap;
    return group;
  });
  const words = label ?? shown.map((one) => one.name).join(", ");
  return s("svg", {
    class: "pieces", viewBox: `0 0 ${wide} ${full}`, height, width: Math.min(260, (height * wide) / full),
    role: "img", "aria-label": words,
  }, groups);
}
