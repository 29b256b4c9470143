// The way back through the states of an order, kept beside it: over pages, reloads and a closed laptop.

const KEPT = "metrage-order-past";
export const MOST_KEPT = 50;

// Drawings are large and mostly the same: each content is written once.
function packed(states, contents) {
  const numbers = new Map(contents.map((one, index) => [one, index]));
  return states.map(({ order, drawings }) => ({ order, drawings: Object.entries(drawings ?? {}).map(([name, content]) => {
    if (!numbers.has(content)) numbers.set(content, contents.push(content) - 1);
    return [name, numbers.get(content)];
  }) }));
}

const unpacked = (states, contents) => states.map(({ order, drawings }) =>
  ({ order, drawings: Object.fromEntries(drawings.map(([name, number]) => [name, contents[number]])) }));

// What belongs to the order of that revision: {past, future}.
export function keptHistory(revision) {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT));
    if (!kept || !revision || kept.revision !== revision) return { past: [], future: [] };
    return { past: unpacked(kept.past, kept.contents), future: unpacked(kept.future, kept.contents) };
  } catch {
    return { past: [], future: [] };
  }
}

// As much of it as the browser has room for.
export function keepHistory(revision, past, future) {
  for (let most = MOST_KEPT; most >= 1; most = Math.floor(most / 2)) {
    const contents = [];
    const kept = { revision, past: packed(past.slice(-most), contents), future: packed(future.slice(-most), contents), contents };
    try {
      localStorage.setItem(KEPT, JSON.stringify(kept));
      return;
    } catch { /* too large: a shorter one */ }
  }
  forgetHistory();
}

export function forgetHistory() {
  try {
    localStorage.removeItem(KEPT);
  } catch { /* the browser keeps nothing */ }
}
