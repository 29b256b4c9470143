// Where in the form each path of the order stands, and where its faults and doubts are told.

import { h } from "./dom.js";
import { inWords } from "./faults.js";
import { store } from "./store.js";

const known = new Map();
const shown = new Map();
export const nameOf = (path) => JSON.stringify(path);

// A field, or a place for what has none: `show` is given the faults of its path.
export const register = (path, place) => known.set(nameOf(path), place);

export function forget() {
  known.clear();
  shown.clear();
}

// Faults and doubts of a path show at its field, or at the nearest place around it.
export function showAll() {
  const { faults = [], findings = [] } = store.seen ?? {};
  const wrong = byPlace(faults, nearest);
  const odd = byPlace(findings, (path) => (path.length ? nearest(path) : known.get(nameOf([]))));
  for (const place of known.values()) {
    const own = wrong.get(place) ?? [];
    place.show(own);
    tellDoubts(place, (odd.get(place) ?? []).map((one) => one.message));
    if (own.length) reveal(place.node);
  }
  for (const show of shown.values()) show();
}

function byPlace(all, placeOf) {
  const found = new Map();
  for (const one of all) {
    const place = placeOf(one.path);
    if (place) found.set(place, [...(found.get(place) ?? []), one]);
  }
  return found;
}

// What is worth a look and stops nothing.
function tellDoubts(place, texts) {
  if (nameOf(texts) === (place.told ?? nameOf([]))) return;
  place.told = nameOf(texts);
  place.doubts ??= place.node.appendChild(h("div", { class: "doubts", role: "status" }));
  place.doubts.replaceChildren(...texts.map((text) => h("p", { class: "doubt" }, text)));
}

export function reveal(node) {
  for (let up = node.parentElement; up; up = up.parentElement) if (up.tagName === "DETAILS") up.open = true;
}

export function nearest(path) {
  for (let end = path.length; end > 0; end -= 1) {
    const found = known.get(nameOf(path.slice(0, end)));
    if (found) return found;
  }
  return null;
}

// A place for the faults and doubts of a path without a field of its own, such as a whole cloth.
export function faultPlace(path) {
  const wrong = h("div", { role: "status" });
  const node = h("div", { class: "faults", tabindex: "-1" }, wrong);
  register(path, {
    node,
    focus: () => { reveal(node); node.focus(); },
    show: (faults) => wrong.replaceChildren(...faults.map((one) => h("p", { class: "fault" }, inWords(one)))),
  });
  return node;
}

// What a place shows anew whenever the order was read.
export const showing = (path, show) => shown.set(nameOf(path), show);

// How much is wrong, and how much is odd, of all that lies under a path.
export function countsOf(path) {
  const under = (one) => nameOf(one.path.slice(0, path.length)) === nameOf(path);
  return {
    faults: (store.seen?.faults ?? []).filter(under).length,
    doubts: (store.seen?.findings ?? []).filter(under).length,
  };
}
