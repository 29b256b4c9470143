// The way back through the states of an order, kept with it: over pages, reloads, browsers and a closed laptop.

export const MOST_KEPT = 50;
const LARGEST = 400_000;

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

// {past, future} of a way that was kept.
export function unpackedWay(way) {
  try {
    const kept = JSON.parse(way);
    return { past: unpacked(kept.past, kept.contents), future: unpacked(kept.future, kept.contents) };
  } catch {
    return { past: [], future: [] };
  }
}

// As much of it as is sensible to keep with each change.
export function packWay(past, future) {
  for (let most = MOST_KEPT; most >= 1; most = Math.floor(most / 2)) {
    const contents = [];
    const way = packedWay({ past: packed(past.slice(-most), contents), future: packed(future.slice(-most), contents), contents });
    if (way.length < LARGEST) return way;
  }
  return "";
}

export const packedWay = ({ past, future, contents }) => JSON.stringify({ past, future, contents });
