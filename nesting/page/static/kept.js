// What the hand has moved, kept for this tab: a page that is loaded again has it, and the way back.

const MOST_STEPS = 60;

// Which layout it is: one that the server has made anew since is another.
const printOf = ({ data }) => JSON.stringify([data.lay_name, data.parts.map((part) => [part.which, part.spot])]);
const nameOf = (key, table) => `metrage hands ${key} ${table.data.title}`;

export function keepHands(key, table) {
  const own = table.past.filter((one) => one.data === table.first);
  if (own.length !== table.past.length) return; // parts have changed over; that is not kept
  try {
    sessionStorage.setItem(nameOf(key, table), JSON.stringify({
      print: printOf(table), past: table.past.slice(-MOST_STEPS).map((one) => one.places),
      now: Math.max(0, table.now - Math.max(0, table.past.length - MOST_STEPS)) }));
  } catch { /* the browser keeps nothing */ }
}

export function keptHands(key, table) {
  try {
    const kept = JSON.parse(sessionStorage.getItem(nameOf(key, table)));
    return kept?.print === printOf(table) ? kept : null;
  } catch {
    return null;
  }
}
