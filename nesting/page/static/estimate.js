// What the order comes to, roughly, while it is written: asked for when the hand rests.

import { ask } from "./ask.js";
import { h } from "./dom.js";
import { store } from "./store.js";

const REST_MS = 500;
const AGAIN_MS = 2500;
let told = null; // {of: the text it is of, cloths, totals}
let due = 0;
let asking = false;
export const news = new EventTarget();

const place = document.getElementById("estimate");

// What is to be bought of a cloth: {buy, cost}; null while nothing is known of it.
export function estimated(name) {
  const found = told?.cloths.filter((one) => one.name === name) ?? [];
  return found.length ? { buy: found.map((one) => one.buy).join(" + "), cost: found.map((one) => one.cost).filter(Boolean).join(" + ") } : null;
}

const current = () => told !== null && told.of === store.seen?.order;

export function watch() {
  clearTimeout(due);
  if (!current()) due = setTimeout(reckon, REST_MS);
  show();
}

async function reckon() {
  const seen = store.seen;
  if (asking || !seen || seen.faults.length || !seen.pieces || current()) return;
  asking = true;
  let stale = false;
  try {
    const answer = await ask("/api/estimate", { order: seen.order, drawings: store.drawings });
    stale = Boolean(answer.stale);
    if (!stale) told = { of: seen.order, ...answer };
  } catch {
    told = told && { ...told, of: "" }; // there is none of this order; the plan will tell why
    asking = false;
    show();
    return;
  }
  asking = false;
  show();
  news.dispatchEvent(new Event("change"));
  if (!current()) due = setTimeout(reckon, stale ? AGAIN_MS : REST_MS);
}

function show() {
  place.hidden = !told || !store.open;
  if (place.hidden) return;
  place.classList.toggle("old", !current());
  const sums = told.totals.join(" + ");
  const cloths = told.cloths.map((one) => `${one.name} ${one.buy}`).join(", ");
  place.title = cloths;
  place.replaceChildren(
    h("p", {}, h("strong", {}, sums ? `about ${sums}` : cloths.length < 40 ? `about ${cloths}` : `${told.cloths.length} cloths estimated`)),
    h("p", { class: "hint" }, current() ? "an estimate from first layouts; a plan takes as much or less" : "an estimate of the order before this change"));
}
