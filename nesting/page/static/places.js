// Where in the form each path of the order stands, and where its faults and doubts are told.

import { h } from "./dom.js";
import { inWords } from "./faults.js";
import { store } from "./store.js";

const known = new Map();
const doubts = new Map();
export const nameOf = (path) => JSON.stringify(path);

// A field, or a place for what has none: `show` is given the faults of its path.
export const register = (path, place) => known.set(nameOf(path), place);

export function forget() {
  known.clear();
  doubts.clear();
}

// Faults of a path show at its field, or at the nearest place around it that takes them.
export function showAll() {
  for (const one of known.values()) one.show([]);
  for (const show of doubts.values()) show();
  const left = new Map();
  for (const fault of store.seen?.faults ?? []) {
    const place = nearest(fault.path);
    if (place) left.set(place, [...(left.get(place) ?? []), fault]);
  }
  for (const [place, faults] of left) {
    place.show(faults);
    reveal(place.node);
  }
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

// A place for the faults of a path without a field of its own, such as a whole cloth.
export function faultPlace(path) {
  const node = h("div", { class: "faults", role: "status", tabindex: "-1" });
  register(path, {
    node,
    focus: () => node.focus(),
    show: (faults) => node.replaceChildren(...faults.map((one) => h("p", { class: "fault" }, inWords(one)))),
  });
  return node;
}

// A place for what is worth a look and stops nothing, at the path that it speaks of.
export function doubtPlace(path) {
  const node = h("div", { class: "doubts", role: "status" });
  doubts.set(nameOf(path), () => {
    const texts = doubtsOf(path).map((one) => one.message);
    if (node.dataset.told === nameOf(texts)) return;
    node.dataset.told = nameOf(texts);
    node.replaceChildren(...texts.map((text) => h("p", { class: "doubt" }, text)));
  });
  return node;
}

// What a place shows anew whenever the order was read.
export const showing = (path, show) => doubts.set(nameOf(path), show);

export const doubtsOf = (path) => (store.seen?.findings ?? []).filter((one) => nameOf(one.path) === nameOf(path));

// How much is wrong, and how much is odd, of all that lies under a path.
export function countsOf(path) {
  const under = (one) => nameOf(one.path.slice(0, path.length)) === nameOf(path);
  return {
    faults: (store.seen?.faults ?? []).filter(under).length,
    doubts: (store.seen?.findings ?? []).filter(under).length,
  };
}
