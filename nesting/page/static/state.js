// How a layout under the hand looks: what overlaps, what is chosen or pinned, which tools are of use.

import { boxOf, turned } from "./overlap.js";
import { format } from "./units.js";

export function refreshClashes(desk, part) {
  const clashes = desk.table.clashes(part).map((one) => ({ part, ...one }));
  desk.board.mark(desk.chosen, clashes);
  desk.board.showEnd();
  const said = clashes.map(({ other }) => (other ? other.name : "a flaw")).join(", ");
  if (said === desk.lastSaid) return;
  desk.lastSaid = said;
  desk.say(said ? `✕ ${part.name} overlaps ${said}.` : `${part.name} lies clear.`);
}

function allClashes(table) {
  const seen = new Set();
  const clashes = [];
  for (const part of table.parts) {
    for (const one of table.clashes(part)) {
      const pair = [part.key, one.other?.key ?? "flaw"].sort().join("|");
      if (!seen.has(pair)) clashes.push({ part, ...one });
      seen.add(pair);
    }
  }
  return clashes;
}

export function refresh(desk) {
  const { table, board, chosen, buttons } = desk;
  const { parts } = table;
  const clashes = allClashes(table);
  desk.lastSaid = null;
  board.mark(chosen, clashes);
  board.showEnd();
  const hit = new Set(clashes.flatMap(({ part, other }) => [part.key, other?.key]));
  for (const part of parts) {
    const { control, say } = desk.items.get(part.key);
    control.setAttribute("aria-pressed", String(part === chosen));
    say.textContent = [part.pinned ? "pinned" : "", hit.has(part.key) ? "✕ overlaps" : ""].filter(Boolean).join(", ");
  }
  desk.hover(chosen);
  buttons.undo.disabled = !table.canUndo;
  buttons.redo.disabled = !table.canRedo;
  buttons.turn.disabled = !chosen || chosen.ways.filter((way) => way.mirrored === chosen.mirrored && way.straight).length < 2;
  buttons.tilt.hidden = !parts.some((part) => part.tilts.length > 1);
  buttons.tilt.disabled = !chosen || chosen.tilts.length < 2;
  buttons.mirror.disabled = !chosen || !chosen.ways.some((way) => way.mirrored !== chosen.mirrored);
  buttons.over.hidden = !table.data.changes_over;
  buttons.over.disabled = !chosen;
  buttons.over.textContent = chosen?.section === "opened-out" ? "Cut it on the fold" : "Cut it opened out";
  buttons.pin.disabled = !chosen;
  buttons.pin.textContent = chosen?.pinned ? "Take the pin out" : "Pin";
  buttons.round.textContent = table.pins.length ? "Finish round the pins" : "Search longer";
  buttons.keep.disabled = !desk.dirty || !desk.good || clashes.length > 0;
  document.body.classList.toggle("by-hand", desk.dirty && table.canUndo);
}

// "3 bodice front, Maren: 24.5 cm along the cloth, 31 cm across; from 12 cm of the cut end."
export function about(table, part) {
  const { unit, near_end: end } = table.data;
  const [x0, y0, x1, y1] = boxOf(turned(part.outline, part.turn, part.mirrored));
  const from = part.section === "main" ? `; begins ${format(Math.max(0, part.x + x0), unit)} from the ${end}` : "";
  return `${part.number} ${part.name}: ${format(x1 - x0, unit)} along, ${format(y1 - y0, unit)} across${from}`;
}
