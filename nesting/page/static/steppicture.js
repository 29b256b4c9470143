// The cloth as it lies, one piece marked among the pale outlines of the others.

import { s } from "./dom.js";
import { clothOf } from "./marker.js";

const path = (outline) => `M${outline.map(([x, y]) => `${x.toFixed(0)} ${y.toFixed(0)}`).join("L")}Z`;

export function stepPicture(cloth, step, kind) {
  const { shape, table_length_mm: long } = cloth;
  const { low, high, under, over, place } = clothOf(shape, long);
  const edge = Math.max(long, high - low) * 0.012;
  const others = cloth.steps.filter((one) => one !== step).map((one) => path(place(one))).join("");
  return s("svg", { class: `marker ${kind}`, "aria-hidden": "true", viewBox: `${-edge} ${-high - edge} ${long + 2 * edge} ${high - low + 2 * edge}` },
    s("g", { transform: "scale(1 -1)" }, under,
      s("path", { class: "others", d: others }),
      step ? s("path", { class: "piece now", d: path(place(step)) }) : null, over));
}
