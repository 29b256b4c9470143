// What stands round a layout: its tools, its figures, the list of its pieces, and what to take along.

import { button, h, piecesOf } from "./dom.js";
import { downloads } from "./downloads.js";
import { legend } from "./weaves.js";

const TIMES = [[10, "10 seconds"], [30, "30 seconds"], [60, "1 minute"]];

const act = (text, run, keys, attributes = {}) => button(text, run, { "aria-keyshortcuts": keys, title: `Key: ${keys}`, ...attributes });

// Fills `place`, and the list of pieces beside it; gives the parts that change.
export function surround(desk, place) {
  const { data, parts } = desk.table;
  const buttons = {
    undo: act("Undo", () => desk.back(-1), "Control+Z"),
    redo: act("Redo", () => desk.back(1), "Control+Y"),
    turn: act("Turn", () => desk.turn(), "R"),
    tilt: act("Tilt", () => desk.tilt(), "T"),
    mirror: act("Mirror", () => desk.mirror(), "M"),
    over: act("Cut it opened out", () => desk.changeOver(), "O"),
    pin: act("Pin", () => desk.pin(), "P"),
    measure: act("Measure", () => desk.measure(), "L", { "aria-pressed": "false" }),
    round: act("Search longer", () => desk.finishRound(), "F", { class: "primary" }),
    keep: button("Keep this layout", () => desk.keep(), { class: "primary" }),
  };
  const looks = h("div", { class: "looks", role: "group", "aria-label": "Look" },
    button("−", () => desk.board.zoom(0.8), { "aria-label": "Smaller", title: "Key: -" }),
    button("+", () => desk.board.zoom(1.25), { "aria-label": "Larger", title: "Key: +" }),
    button("All", () => desk.board.fit(), { "aria-label": "Show all of the cloth", title: "Key: 0" }));
  const tools = h("div", { class: "desk-tools" },
    h("div", { role: "group", "aria-label": "Piece" }, buttons.turn, buttons.tilt, buttons.mirror, buttons.over, buttons.pin),
    h("div", { role: "group", "aria-label": "Steps" }, buttons.undo, buttons.redo), looks,
    h("div", { role: "group", "aria-label": "Tape" }, buttons.measure));
  const acts = h("div", { class: "desk-acts", role: "group", "aria-label": "Layout" }, buttons.round, time(desk), buttons.keep);
  const figures = h("p", { class: "desk-figures" });
  const verdict = h("div", { class: "verdict", role: "status" });
  const told = h("p", { class: "about", "aria-hidden": "true" });
  place.replaceChildren(
    h("div", { class: "desk-head" }, h("h2", {}, `Layout of the ${data.title}`), figures),
    h("div", { class: "desk-bar" }, tools, acts), desk.progress.node, verdict,
    h("div", { class: "board-place" }, desk.board.node, told),
    h("p", { class: "hint how" }, `The cloth lies ${data.lay}; ${data.nap}. Thick lines are folds, lines of dashes and dots are selvedges; the ${data.near_end} is at the left.`,
      data.shape.section ? " Past the line of long dashes it lies opened out, one layer; that part moves along as the folded one gets longer." : ""),
    h("p", { id: "board-keys", class: "hint keys" }, "Drag a piece to move it. With keys: N and Shift+N choose a piece, ",
      "arrows move it (with Shift a little), R turns it, M mirrors it, P pins it, F searches on round the pins, L lays a tape, Ctrl+Z takes back; ",
      data.changes_over ? "O cuts it opened out or on the fold; " : "", "+ and − and 0 change the view, Alt+arrows move it."),
    downloads(data.title));
  const { list, items } = listed(desk, parts);
  document.getElementById("pieces").replaceChildren(h("div", { class: "sheet" },
    h("h2", {}, "Pieces"), legend(data.garments) ?? "",
    h("details", { class: "desk-list", open: window.matchMedia("(min-width: 62rem)").matches },
      h("summary", {}, piecesOf(parts.length)), list)));
  return { buttons, tools, figures, verdict, about: told, list, items };
}

function listed(desk, parts) {
  const list = h("ol", { class: "part-list", "aria-label": "Pieces" });
  const items = new Map();
  for (const part of parts) {
    const say = h("span", { class: "part-state" });
    const control = button([h("span", { class: "part-number" }, String(part.number)),
      h("span", { class: "part-name" }, part.name), h("span", { class: "hint" }, part.notes), say],
    () => { desk.choose(part); desk.board.reveal(part); }, { "aria-pressed": "false" });
    items.set(part.key, { control, say });
    list.append(h("li", {}, control));
  }
  return { list, items };
}

const time = (desk) => h("select", { "aria-label": "time to search on", onchange: (event) => { desk.seconds = Number(event.target.value); } },
  TIMES.map(([value, text]) => h("option", { value, selected: value === desk.seconds }, text)));
