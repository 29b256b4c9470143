// The index at the side: every cloth, wearer and ready piece by name, with what is wrong or odd. One
// stop of the Tab key; arrows go on from there.

import { all, h } from "./dom.js";
import { countsOf } from "./places.js";
import { rowOf } from "./rows.js";
import { store } from "./store.js";

const place = document.getElementById("index");
let shown = "";

const groups = () => [
  ["Cloths", Object.keys(store.table.fabric ?? {}).map((name) => [name, ["fabric", name]])],
  ["Wearers", (store.table.garment ?? []).map((one, index) => [one.name || "A wearer", ["garment", index]])],
  ["Ready pieces", (store.table.piece ?? []).map((one, index) => [one.name ?? one.file ?? "a piece", ["piece", index]])],
  ["Besides cloth", [...(store.table.notion ?? []).map((one, index) => [one.name ?? "a notion", ["notion", index]]),
    ...(store.table.costing ? [["Work and prices", ["costing"]]] : [])]],
].filter(([, entries]) => entries.length);

export function showIndex() {
  const all = groups().map(([title, entries]) => [title, entries.map(([name, path]) => [name, path, countsOf(path)])]);
  if (JSON.stringify(all) === shown) return;
  shown = JSON.stringify(all);
  const at = buttons().indexOf(document.activeElement);
  place.replaceChildren(...all.flatMap(([title, entries]) => [
    h("h2", {}, title), h("ul", {}, entries.map(([name, path, counts]) => h("li", {}, entry(name, path, counts))))]));
  buttons().forEach((one, index) => { one.tabIndex = index === Math.max(0, at) ? 0 : -1; });
  if (at >= 0) buttons()[at]?.focus();
}

const buttons = () => all("button", place);

function entry(name, path, { faults, doubts }) {
  const [kind, count, words] = faults ? ["mark-fault", faults, "to put right"] : ["mark-doubt", doubts, "to look at"];
  return h("button", { type: "button", title: `Go to ${name}`, onclick: () => goTo(path) }, h("span", {}, name),
    count ? h("span", { class: kind }, String(count), h("span", { class: "sr" }, ` ${words}`)) : null);
}

function goTo(path) {
  const row = rowOf(path);
  row.unfold();
  row.node.scrollIntoView({ block: "start", behavior: window.matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
  row.details.querySelector("summary").focus({ preventScroll: true });
}

place.addEventListener("keydown", (event) => {
  const all = buttons();
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  const at = all.indexOf(document.activeElement);
  if (!by || at < 0) return;
  event.preventDefault();
  const next = all[(at + by + all.length) % all.length];
  for (const one of all) one.tabIndex = one === next ? 0 : -1;
  next.focus();
});
