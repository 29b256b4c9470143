// Outlines as tables of points, and lines that follow one of their edges.

import { button, h, s } from "./dom.js";
import { choiceField, lengthCell } from "./fields.js";
import { faultPlace } from "./places.js";
import { store } from "./store.js";

const LEAST = 3;

// `heads` name the two directions in which a point is measured.
export function pointsTable(path, heads, caption) {
  const points = store.at(path) ?? [];
  const rows = points.map((_, index) => h("tr", {},
    h("th", { scope: "row" }, String(index + 1)),
    [0, 1].map((side) => h("td", {}, lengthCell([...path, index, side], `corner ${index + 1}, ${heads[side]}`))),
    h("td", {}, button("Add after", () => store.edit({ do: "put", path: [...path, index + 1], value: between(points, index) }),
      { "aria-label": `Add after corner ${index + 1}` }),
    button("Remove", () => store.edit({ do: "take", path: [...path, index] }),
      { disabled: points.length <= LEAST, "aria-label": `Remove corner ${index + 1}` }))));
  return h("div", { class: "points" }, faultPlace(path),
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "corner"),
        heads.map((words) => h("th", { scope: "col" }, `${words}, ${store.unit}`)), h("td"))),
      h("tbody", {}, rows)));
}

// The outline with its corners numbered, as the table has them; null where a point says its own unit.
export function cornersPicture(points, folds) {
  if (!points.flat().every((value) => typeof value === "number")) return null;
  const [xs, ys] = [0, 1].map((side) => points.map((point) => point[side]));
  const [left, low, wide, tall] = [Math.min(...xs), Math.min(...ys), Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)];
  const size = Math.max(wide, tall) || 1;
  const em = size / 11;
  const middle = [left + wide / 2, low + tall / 2];
  const line = (list) => `M${list.map(([x, y]) => `${x} ${-y}`).join("L")}`;
  const numbers = points.map(([x, y], index) => {
    const away = Math.hypot(x - middle[0], y - middle[1]) || 1;
    const at = [x + ((x - middle[0]) / away) * em * 0.8, y + ((y - middle[1]) / away) * em * 0.8];
    return s("text", { x: at[0], y: -at[1] + em * 0.35, "font-size": em, "text-anchor": "middle" }, String(index + 1));
  });
  return s("svg", { class: "pieces corners", role: "img", "aria-label": `The outline, its ${points.length} corners numbered`, width: 190,
    viewBox: `${left - 1.6 * em} ${-low - tall - 1.6 * em} ${wide + 3.2 * em} ${tall + 3.2 * em}` },
  s("path", { class: "cut", d: `${line(points)}Z` }),
  folds.filter(Array.isArray).map((fold) => s("path", { class: "fold", d: line(fold) })), numbers);
}

// Half-way to the next one, where both are plain numbers.
function between(points, index) {
  const [one, next] = [points[index], points[(index + 1) % points.length]];
  return one.map((value, side) => (typeof value === "number" && typeof next[side] === "number"
    ? Math.round(50 * (value + next[side])) / 100 : value));
}

// A line given by two points: one of the edges of an outline, or one of the `others`, [value, words].
/** @param {import("./fields.js").Path} path @param {any[] | null} outline @param {Record<string, any>} options */
export function edgeField(path, outline, { label, hint, blank, others = [] }) {
  const edges = (outline ?? []).map((from, index) => {
    const to = (index + 1) % outline.length;
    return [JSON.stringify([from, outline[to]]), `corner ${index + 1} to ${to + 1}`];
  });
  const choices = [...others.map(([value, words]) => [JSON.stringify(value), words]), ...edges];
  const now = store.at(path);
  if (now !== undefined && !choices.some(([one]) => one === JSON.stringify(now))) choices.push([JSON.stringify(now), "as the order file has it"]);
  return choiceField(path, { label, hint, choices, blank, toText: JSON.stringify, toValue: JSON.parse });
}
