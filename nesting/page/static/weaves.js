// Wearers told apart by colour and by what is woven in: lines, dots, checks. Never by colour alone.

import { h, newId, s } from "./dom.js";

// Each in a tile of 12 by 12; the first wearer stays plain.
const MARKS = [
  null,
  { lines: "M-2 8L8 -2M4 14L14 4" },
  { dots: [[3, 3], [9, 9]] },
  { lines: "M0 6H12" },
  { lines: "M-2 4L8 14M4 -2L14 8" },
  { lines: "M6 0V12" },
  { lines: "M0 6H12M6 0V12" },
  { lines: "M2 4L4 6L6 4M8 10L10 12L12 10" },
];

// Which wearer has which number, in the order's order.
export const numbersOf = (garments) => new Map([...new Set(garments)].map((name, index) => [name, index]));

// Patterns for one drawing: `defs` goes into it, `fill(number)` is what a piece is filled with over
// its colour, null where that is plain; `scale` says how many units of the drawing a tile's unit has.
export function weaves(count) {
  const stem = newId("weave");
  const shown = count > 1 ? Math.min(count, MARKS.length) : 0;
  const patterns = MARKS.slice(0, shown).map((mark, index) => (mark === null ? null : s("pattern",
    { id: `${stem}-${index}`, width: 12, height: 12, patternUnits: "userSpaceOnUse" },
    mark.lines ? s("path", { class: "weave", d: mark.lines, "stroke-width": 1.1 }) : null,
    (mark.dots ?? []).map(([cx, cy]) => s("circle", { class: "weave-dot", cx, cy, r: 1.3 })))));
  return {
    defs: s("defs", {}, patterns.filter(Boolean)),
    fill: (number) => (patterns[number % MARKS.length] ? `url(#${stem}-${number % MARKS.length})` : null),
    scale(units) {
      for (const one of patterns) one?.setAttribute("patternTransform", `scale(${units})`);
    },
  };
}

export const colourClass = (number) => `w${(number ?? 0) % MARKS.length}`;

// Who is who; none where all is of one.
export function legend(garments) {
  const numbers = numbersOf(garments.filter(Boolean));
  if (numbers.size < 2) return null;
  const all = numbersOf(garments);
  const woven = weaves(all.size);
  woven.scale(1);
  return h("ul", { class: "legend", "aria-label": "Whose pieces" },
    s("svg", { width: 0, height: 0, "aria-hidden": "true", class: "sr" }, woven.defs),
    [...numbers.keys()].map((name) => {
      const number = all.get(name);
      const fill = woven.fill(number);
      return h("li", {}, s("svg", { viewBox: "0 0 34 22", "aria-hidden": "true" },
        s("rect", { class: colourClass(number), width: 34, height: 22 }),
        fill ? s("rect", { fill, width: 34, height: 22 }) : null,
        s("rect", { class: "frame", width: 34, height: 22 })), name);
    }));
}
