// Outlines as tables of points, and lines that follow one of their edges.

import { button, h } from "./dom.js";
import { choiceField, faultPlace, lengthCell } from "./fields.js";
import { store } from "./store.js";

const LEAST = 3;

// `heads` name the two directions in which a point is measured.
export function pointsTable(path, heads, caption) {
  const points = store.at(path) ?? [];
  const rows = points.map((_, index) => h("tr", {},
    h("th", { scope: "row" }, String(index + 1)),
    [0, 1].map((side) => h("td", {}, lengthCell([...path, index, side], `corner ${index + 1}, ${heads[side]}`))),
    h("td", {}, button("After it", () => store.edit({ do: "put", path: [...path, index + 1], value: between(points, index) }),
      { "aria-label": `A corner after corner ${index + 1}` }),
    button("Remove", () => store.edit({ do: "take", path: [...path, index] }),
      { disabled: points.length <= LEAST, "aria-label": `Remove corner ${index + 1}` }))));
  return h("div", { class: "points" }, faultPlace(path),
    h("table", {}, h("caption", {}, caption),
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "corner"),
        heads.map((words) => h("th", { scope: "col" }, `${words}, ${store.unit}`)), h("td"))),
      h("tbody", {}, rows)));
}

// Half-way to the next one, where both are plain numbers.
function between(points, index) {
  const [one, next] = [points[index], points[(index + 1) % points.length]];
  return one.map((value, side) => (typeof value === "number" && typeof next[side] === "number"
    ? Math.round(50 * (value + next[side])) / 100 : value));
}

// A line given by two points: one of the edges of an outline, or one of the `others`, [value, words].
export function edgeField(path, outline, { label, hint, blank, others = [] }) {
  const edges = (outline ?? []).map((from, index) => {
    const to = (index + 1) % outline.length;
    return [JSON.stringify([from, outline[to]]), `along the edge from corner ${index + 1} to ${to + 1}`];
  });
  const choices = [...others.map(([value, words]) => [JSON.stringify(value), words]), ...edges];
  const now = store.at(path);
  if (now !== undefined && !choices.some(([one]) => one === JSON.stringify(now))) choices.push([JSON.stringify(now), "as the order file has it"]);
  return choiceField(path, { label, hint, choices, blank, toText: JSON.stringify, toValue: JSON.parse });
}
