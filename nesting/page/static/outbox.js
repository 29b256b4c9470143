// What the shelf has not got yet stays in this browser until it has: through a restarted program, a
// closed laptop, a tab that is left. Also what earlier releases kept here.

import { ask } from "./ask.js";
import { packedWay } from "./history.js";

const STEM = "metrage-order ";
const BEFORE = "metrage-order";
const WAY_BEFORE = "metrage-order-past";
const UNTOUCHED_MS = 86_400_000;

// An order as it waits: `after` are the revisions that it comes after; one that is `untouched`, as
// the example is at first, goes on no shelf yet.
/** @typedef {{order: string, drawings: Record<string, string>, name: string, about: string[], way: string,
 *   revision: string, after: string[], when: number, untouched?: boolean}} Waiting */

// A name that nobody else has, for an order or a revision.
export const newKey = () => crypto.randomUUID();

/** @returns {Waiting | null} */
export function waiting(key) {
  try {
    return JSON.parse(localStorage.getItem(STEM + key));
  } catch {
    return null;
  }
}

// Whether the browser has taken it; the way back goes first where there is no room.
export function putOut(key, /** @type {any} */ state) {
  for (const kept of [state, { ...state, way: "" }]) {
    try {
      localStorage.setItem(STEM + key, JSON.stringify({ ...kept, when: Date.now() }));
      return true;
    } catch { /* too large, or the browser keeps nothing */ }
  }
  return false;
}

export function takeIn(key) {
  try {
    localStorage.removeItem(STEM + key);
  } catch { /* the browser keeps nothing */ }
}

export const isOf = (storageKey, key) => storageKey === STEM + key;

// All that wait: [key, state] each.
/** @returns {[string, Waiting][]} */
export function allWaiting() {
  try {
    const keys = Object.keys(localStorage).filter((one) => one.startsWith(STEM)).map((one) => one.slice(STEM.length));
    return keys.map((key) => /** @type {[string, Waiting]} */ ([key, waiting(key)])).filter(([, state]) => state);
  } catch {
    return [];
  }
}

export const send = (key, { order, drawings, name, about, way, revision, after }) =>
  ask(`/api/shelf/${key}`, { order, drawings, name, about, way, revision, after });

// Another order, which the page then opens. Example and blank paper stay off the shelf until they
// are changed or planned.
/** @param {string} order @param {boolean} untouched */
export async function begin(order, untouched = false) {
  const key = newKey();
  const state = { order, drawings: {}, name: "", about: [], way: "", revision: newKey(), after: [], untouched };
  if (!putOut(key, state)) await send(key, state);
  location.assign(`/order/${key}`);
}

// What was left here is put on the shelf, and what nobody touched is cleared away. Gives what could
// not be put there, and why.
export async function deliver() {
  takeOver();
  /** @type {[string, Waiting][]} */ const left = [];
  let why = "";
  for (const [key, state] of allWaiting()) {
    if (state.untouched) {
      if (Date.now() - state.when > UNTOUCHED_MS) takeIn(key);
      continue;
    }
    try {
      await send(key, state);
      if (waiting(key)?.revision === state.revision) takeIn(key);
    } catch (refused) {
      left.push([key, state]);
      why = refused.message;
    }
  }
  return { left, why };
}

// The one order that earlier releases kept in the browser, with the way back through it.
function takeOver() {
  try {
    const before = JSON.parse(localStorage.getItem(BEFORE));
    if (!before?.order) return;
    const key = `kept-${String(before.revision ?? "").replace(/\D/g, "").slice(0, 30)}`;
    const told = localStorage.getItem(WAY_BEFORE);
    const way = told && JSON.parse(told).revision === before.revision ? packedWay(JSON.parse(told)) : "";
    const name = /^\s*name\s*=\s*["'](.*)["']\s*$/m.exec(before.order)?.[1] ?? "";
    const state = { order: before.order, drawings: before.drawings ?? {}, name, about: [], way, revision: key, after: [] };
    if (!putOut(key, state)) return; // it stays where it is
    localStorage.removeItem(BEFORE);
    localStorage.removeItem(WAY_BEFORE);
  } catch { /* none, or not to be read */ }
}
