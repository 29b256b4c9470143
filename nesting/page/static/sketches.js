// Small drawings of our own: a swatch with its nap and print, a cloth from its end, necks and sleeves.

import { h, s } from "./dom.js";

// Pinked at its edges, with the way of its nap, its print and its border.
export function swatch({ nap, repeat, border, flaws }) {
  const teeth = (n) => Array.from({ length: n }, (_, i) => i);
  const edge = `M4 4${teeth(9).map(() => "l2 2l2 -2").join("")}${teeth(9).map(() => "l-2 2l2 2").join("")}${
    teeth(9).map(() => "l-2 -2l-2 2").join("")}${teeth(9).map(() => "l2 -2l-2 -2").join("")}Z`;
  return s("svg", { class: "swatch", viewBox: "0 0 44 44", width: 44, height: 44, "aria-hidden": "true" },
    s("path", { class: "cloth", d: edge }),
    border ? s("rect", { class: "rim", x: 6, y: border.edge === "upper" ? 6 : 31, width: 32, height: 7 }) : null,
    repeat ? [[12, 12], [30, 12], [21, 22], [12, 32], [30, 32]].map(([cx, cy]) => s("circle", { class: "print", cx, cy, r: 2 })) : null,
    nap === "one-way" ? s("path", { class: "way", d: "M22 33V12M17 17L22 12L27 17" }) : null,
    nap === "per-garment" ? s("path", { class: "way", d: "M16 33V12M12 16L16 12L20 16M28 11V32M24 28L28 32L32 28" }) : null,
    flaws?.length ? s("path", { class: "way", d: "M31 31l6 6m0 -6l-6 6" }) : null);
}

// The cloth seen from its end: each layer a line, each fold a bend.
const PROFILES = {
  open: { d: "M10 40H190", words: "one layer" },
  "lengthwise-fold": { d: "M190 44H22a9 9 0 0 1 0-18H190", words: "seen from the cut end: two layers, the fold on one side, both selvedges on the other" },
  "crosswise-fold": { d: "M10 44H178a9 9 0 0 0 0-18H10", words: "seen from the selvedge: two layers, the fold at one end, both cut ends at the other" },
  "double-fold": { d: "M97 26H22a9 9 0 0 0 0 18H178a9 9 0 0 0 0-18H103", words: "seen from the cut end: a fold on each side, the selvedges meet in the middle" },
  "partial-fold": { d: "M90 26H22a9 9 0 0 0 0 18H190", words: "seen from the cut end: one selvedge folded in, the rest single" },
  "quarter-fold": { d: "M190 50H22a15 15 0 0 1 0-30H190M190 44H24a9 9 0 0 1 0-18H190", words: "seen from the cut end: four layers, the long fold on one side" },
};

export function profile(lay) {
  const { d, words } = PROFILES[lay];
  return h("figure", { class: "profile" },
    s("svg", { viewBox: "0 10 200 50", role: "img", "aria-label": words }, s("path", { d })),
    h("figcaption", { class: "hint" }, words));
}

export const profileLine = (lay) => (PROFILES[lay] ? s("svg", { viewBox: "0 10 200 50", "aria-hidden": "true" },
  s("path", { class: "profile-line", d: PROFILES[lay].d })) : null);

const CHOICES = {
  nap: {
    none: "M17 4V30M12 9L17 4L22 9M12 25L17 30L22 25",
    "one-way": "M17 30V4M11 10L17 4L23 10",
    "per-garment": "M11 30V4M7 9L11 4L15 9M23 4V30M19 25L23 30L27 25",
  },
  neck: {
    round: "M3 6Q8 7 10 4Q17 17 24 4Q26 7 31 6L29 30H5Z",
    V: "M3 6Q8 7 10 4L17 19L24 4Q26 7 31 6L29 30H5Z",
    square: "M3 6L10 4V15H24V4L31 6L29 30H5Z",
    boat: "M3 6L7 5Q17 10 27 5L31 6L29 30H5Z",
    sweetheart: "M3 6L10 4V14Q14 8 17 16Q20 8 24 14V4L31 6L29 30H5Z",
  },
  style: {
    short: "M8 14Q17 0 26 14L24 24H10Z",
    long: "M10 12Q17 1 24 12L21 32H13Z",
    puff: "M6 16Q17 -3 28 16Q31 24 25 26H9Q3 24 6 16Z",
  },
};

// Drawings of what a choice is between; the one that holds stands out. Null where there are none.
export function drawnChoice(name, choices) {
  const known = CHOICES[name];
  if (!known || !choices.every((one) => known[one])) return null;
  const spans = choices.map((one) => h("span", { "data-choice": one, title: one }, s("svg", { viewBox: "0 0 34 34" }, s("path", { d: known[one] }))));
  return { node: h("div", { class: "drawn-choice", "aria-hidden": "true" }, spans),
    show: (value) => { for (const one of spans) one.classList.toggle("on", one.dataset.choice === value); } };
}
