// What an edit is meant for. It was asked for at a form that may be older than the order by the
// time it is its turn: those before it have put things in, taken them out or given them a new name.

const alike = (one, other) => JSON.stringify(one) === JSON.stringify(other);
const isTable = (one) => one !== null && typeof one === "object" && !Array.isArray(one);

// The path in `now` of what stood at `path` in `shown`; null if it is gone.
export function aimed(path, shown, now) {
  let [was, is] = [shown, now];
  const found = [];
  for (const step of path) {
    const there = typeof step === "number" ? ofList(step, was, is) : ofTable(step, was, is);
    if (there === null) return null;
    found.push(there);
    [was, is] = [was?.[step], is?.[there]];
  }
  return found;
}

function ofList(index, was, is) {
  if (!Array.isArray(was) || !Array.isArray(is) || was.length === is.length) return index;
  if (index >= was.length) return is.length + index - was.length; // at the end of it
  const same = is.flatMap((one, place) => (alike(one, was[index]) ? [place] : []));
  if (same.length) return same.reduce((best, place) => (Math.abs(place - index) < Math.abs(best - index) ? place : best));
  // It was changed meanwhile, unless another of them has come to its place.
  return index < is.length && !was.some((one) => alike(one, is[index])) ? index : null;
}

function ofTable(step, was, is) {
  if (!isTable(was) || !isTable(is) || Object.hasOwn(is, step) || !isTable(was[step])) return step;
  const [before, names] = [Object.keys(was), Object.keys(is)];
  const name = names[before.indexOf(step)];
  return names.length === before.length && !before.includes(name) ? name : null;
}
