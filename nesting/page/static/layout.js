// The layout of a plan: see, move, turn, pin, and let the rest be finished round the pins.

import { Board } from "./board.js";
import { button, h, piecesOf } from "./dom.js";
import { downloads } from "./downloads.js";
import { follow } from "./hands.js";
import { job } from "./job.js";
import { Progress } from "./progress.js";
import { Table, keyOf } from "./table.js";
import { money } from "./units.js";

const place = document.getElementById("layout");
let seconds = 10; // to finish round the pins
const PAST_MM = 40; // so far past a line a piece is dragged on purpose

class Desk {
  constructor(data, before) {
    this.table = new Table(data);
    if (before && before.table.data.title === data.title) this.table.follow(before.table);
    this.chosen = null;
    this.asked = 0;
    this.dirty = false;
    this.busy = false;
    this.held = false;
    this.note = before?.made ? " The drawings and lists below are of this layout now." : "";
    this.build();
    this.told(null);
    this.check(null).then(() => {
      this.dirty = false;
      this.note = "";
      this.refresh();
    });
  }

  // The board and what stands round it; anew when the parts are others than before.
  build() {
    const { data } = this.table;
    this.board = new Board(this.table, { label: `Layout of ${data.title}: ${piecesOf(data.parts.length)}, ${data.lay}` });
    const act = (text, run, keys, attributes = {}) => button(text, run, { "aria-keyshortcuts": keys, title: `Key: ${keys}`, ...attributes });
    this.buttons = {
      undo: act("Undo", () => this.back(-1), "Control+Z"),
      redo: act("Redo", () => this.back(1), "Control+Y"),
      turn: act("Turn", () => this.turn(), "R"),
      tilt: act("Tilt", () => this.tilt(), "T"),
      mirror: act("Mirror", () => this.mirror(), "M"),
      over: act("Cut it opened out", () => this.changeOver(), "O"),
      pin: act("Pin", () => this.pin(), "P"),
      round: act("Finish round the pins", () => this.finishRound(), "F", { class: "primary" }),
      keep: button("Keep this layout", () => this.keep(), { class: "primary" }),
    };
    const looks = h("div", { class: "looks", role: "group", "aria-label": "Look" },
      button("−", () => this.board.zoom(0.8), { "aria-label": "Smaller", title: "Key: -" }),
      button("+", () => this.board.zoom(1.25), { "aria-label": "Larger", title: "Key: +" }),
      button("All", () => this.board.fit(), { "aria-label": "Show all of the cloth", title: "Key: 0" }));
    this.figures = h("p", { class: "desk-figures" });
    this.verdict = h("div", { class: "verdict", role: "status" });
    this.list = h("ol", { class: "part-list", "aria-label": "Pieces" });
    this.items = new Map();
    for (const part of this.table.parts) {
      const say = h("span", { class: "part-state" });
      const control = button([h("span", { class: "part-number" }, String(part.number)),
        h("span", { class: "part-name" }, part.name), h("span", { class: "hint" }, part.notes), say],
      () => { this.choose(part); this.board.reveal(part); }, { "aria-pressed": "false" });
      this.items.set(part.key, { control, say });
      this.list.append(h("li", {}, control));
    }
    const { shape } = data;
    this.progress = new Progress("search for the rest", "Looking at the layout.");
    this.tools = h("div", { class: "desk-tools" },
      h("div", { role: "group", "aria-label": "Piece" }, this.buttons.turn, this.buttons.tilt, this.buttons.mirror, this.buttons.over, this.buttons.pin),
      h("div", { role: "group", "aria-label": "Steps" }, this.buttons.undo, this.buttons.redo),
      looks, h("div", { role: "group", "aria-label": "Layout" }, this.buttons.round, this.time(), this.buttons.keep));
    place.replaceChildren(
      h("h2", {}, `Layout of the ${data.title}`),
      h("p", { class: "hint" }, `The cloth lies ${data.lay}; ${data.nap}. Thick lines are folds, lines of dashes and dots are selvedges; the ${data.near_end} is at the left.`,
        shape.section ? " Past the line of long dashes it lies opened out, one layer; that part moves along as the folded one gets longer." : ""),
      this.tools, this.figures, this.verdict, this.progress.node,
      h("div", { class: "desk" }, this.board.node,
        h("details", { class: "desk-list", open: window.matchMedia("(min-width: 50rem)").matches },
          h("summary", {}, piecesOf(data.parts.length)), this.list)),
      h("p", { id: "board-keys", class: "hint keys" }, "Drag a piece to move it. With keys: N and Shift+N choose a piece, ",
        "arrows move it (with Shift a little), R turns it, M mirrors it, P pins it, F finishes round the pins, Ctrl+Z takes back; ",
        data.changes_over ? "O cuts it opened out or on the fold; " : "", "+ and − and 0 change the view, Alt+arrows move it."),
      downloads(data.title));
    follow(this.board, this);
    this.refresh();
  }

  time() {
    const words = [[10, "in 10 seconds"], [30, "in 30 seconds"], [60, "in 1 minute"]];
    return h("select", { "aria-label": "time to finish round the pins", onchange: (event) => { seconds = Number(event.target.value); } },
      words.map(([value, text]) => h("option", { value, selected: value === seconds }, text)));
  }

  // ---- what happens ----

  choose(part) {
    this.chosen = part;
    if (part) {
      this.board.raise(part);
      const item = this.items.get(part.key).control;
      if (item.offsetParent && !this.list.contains(document.activeElement)) item.scrollIntoView({ block: "nearest" });
    }
    this.refresh();
  }

  step(by) {
    const { parts } = this.table;
    const index = this.chosen ? parts.indexOf(this.chosen) : by > 0 ? -1 : 0;
    const next = parts[(index + by + parts.length) % parts.length];
    this.choose(next);
    this.board.reveal(next);
    this.say(`${next.number}: ${next.name}${next.pinned ? ", pinned" : ""}`);
  }

  // While it is dragged: only this part is drawn anew.
  move(part, x, y) {
    part.moveTo(x, y);
    this.board.place(part);
    this.refreshClashes(part);
    const held = part.section === "opened-out" && x < part.x - PAST_MM;
    if (held !== this.held) this.say(held ? "Before the line the cloth lies folded: “Cut it on the fold” takes the piece there." : "");
    this.held = held;
  }

  letGo(part, moved) {
    if (!moved) return;
    this.table.record();
    this.check(part);
  }

  nudge(dx, dy) {
    this.move(this.chosen, this.chosen.x + dx, this.chosen.y + dy);
    this.table.record();
    this.check(null);
  }

  turn() {
    const part = this.chosen;
    if (!part) return;
    const ways = part.ways.filter((way) => way.mirrored === part.mirrored && way.straight);
    this.changeWay(part, ways[(ways.indexOf(part.upright) + 1) % ways.length]);
  }

  // A little off the grain and back, where the cloth allows that.
  tilt() {
    const part = this.chosen;
    if (!part) return;
    this.changeWay(part, part.tilts[(part.tilts.indexOf(part.way) + 1) % part.tilts.length]);
  }

  mirror() {
    const part = this.chosen;
    if (!part) return;
    const others = part.ways.filter((way) => way.mirrored !== part.mirrored);
    this.changeWay(part, others.find((way) => way.turn_deg === part.turn) ?? others[0]);
  }

  changeWay(part, way) {
    if (!way || way === part.way) return;
    part.turnTo(way);
    this.board.shape(part);
    this.refreshClashes(part);
    this.table.record();
    this.check(part);
  }

  pin() {
    if (!this.chosen) return;
    this.chosen.pinned = !this.chosen.pinned;
    this.table.record();
    this.refresh();
    this.say(`${this.chosen.name} ${this.chosen.pinned ? "is pinned" : "is free again"}.`);
  }

  back(by) {
    if (by < 0 ? !this.table.canUndo : !this.table.canRedo) return;
    const { data } = this.table;
    this.table.go(by);
    if (data !== this.table.data) this.rebuild(this.chosen?.which);
    for (const part of this.table.parts) this.board.shape(part);
    this.refresh();
    this.check(null);
  }

  // From the folded part of the cloth into the part that lies opened out, or back.
  async changeOver() {
    const part = this.chosen;
    if (!part || !this.table.data.changes_over) return;
    const asked = { cloth: this.table.data.title, spots: this.table.spots, which: part.which };
    const { layout, refused } = await job.question("change-over", asked).catch((why) => ({ refused: why.message }));
    if (refused) {
      this.say(refused);
      return;
    }
    const before = part.section;
    this.table.change(layout);
    const [garment, piece] = part.which;
    const there = this.table.parts.filter((one) => one.which[0] === garment && one.which[1] === piece && one.section !== before);
    this.rebuild(there.at(-1)?.which);
    await this.check(null);
  }

  rebuild(which) {
    this.chosen = which ? this.table.parts.find((part) => part.key === keyOf(which)) ?? null : null;
    this.build();
    this.board.node.focus({ preventScroll: true });
  }

  // ---- what the server says ----

  async check(moved) {
    this.dirty = true;
    this.good = false;
    const number = (this.asked += 1);
    this.refresh();
    let answer;
    try {
      answer = await job.question("check", { cloth: this.table.data.title, spots: this.table.spots, moved: moved?.which ?? null });
    } catch (refused) {
      if (number === this.asked) this.told({ findings: refused.faults.map((one) => one.message).concat(refused.faults.length ? [] : refused.message) });
      return;
    }
    if (number !== this.asked) return; // something else was moved meanwhile
    if (moved && answer.moved) {
      const [x, y] = answer.moved;
      if (Math.hypot(x - moved.x, y - moved.y) > 1e-9) {
        [moved.x, moved.y] = [x, y];
        moved.place();
        this.board.place(moved);
        this.table.amend();
      }
    }
    this.told(answer);
    this.board.grow();
    this.refresh();
  }

  told(answer) {
    if (!answer) {
      this.verdict.replaceChildren(h("p", { class: "fine" }, "✓ This layout is checked and can be cut."));
      this.verdict.dataset.good = "yes";
      this.figures.textContent = `${this.table.data.told.table} on the table`;
      return;
    }
    const good = answer.findings.length === 0;
    this.verdict.dataset.good = good ? "yes" : "no";
    this.verdict.replaceChildren(good
      ? h("p", { class: "fine" }, `✓ Checked: this can be cut.${this.note}`)
      : h("details", { class: "wrong", open: answer.findings.length < 4 },
        h("summary", {}, `✕ This can't be cut yet: ${answer.findings.length === 1 ? "one thing is" : `${answer.findings.length} things are`} in the way`),
        h("ul", {}, answer.findings.map((words) => h("li", {}, words)))));
    if (answer.length_mm !== undefined) this.comesTo(answer, good ? "" : "as it lies, ");
    this.good = good;
    this.refresh();
  }

  comesTo(answer, how) {
    const cost = answer.cost === null ? "" : `, ${money(answer.cost, answer.currency)}`;
    const buy = answer.told.buy === "nothing to buy" ? answer.told.buy : `buy ${answer.told.buy}`;
    this.figures.replaceChildren(h("strong", {}, answer.told.table),
      ` on the table; ${how}${buy}${cost}; ${answer.waste_percent.toFixed(0)} % waste`);
  }

  async finishRound() {
    if (!this.table.pins.length) return this.say("Pin a piece first: choose it, then Pin.");
    await this.run("finish-round", { spots: this.table.spots, pinned: this.table.pins, seconds }, "Laying the rest round the pinned pieces.");
  }

  keep() {
    return this.run("keep", { spots: this.table.spots }, "Keeping it, and drawing the plans.");
  }

  async run(task, body, words) {
    this.say(words);
    this.made = true; // what comes of it is a new plan
    this.wait(true);
    const watch = ({ detail }) => this.watch(detail);
    for (const kind of ["news", "tick"]) job.addEventListener(kind, watch);
    try {
      await job.again(task, { cloth: this.table.data.title, ...body });
      if (job.state.state === "failed") this.failed(job.state);
    } catch (refused) {
      this.say(refused.message);
    }
    for (const kind of ["news", "tick"]) job.removeEventListener(kind, watch);
    this.wait(false);
  }

  failed(state) {
    this.made = false;
    this.table.go(0);
    for (const part of this.table.parts) this.board.shape(part);
    this.refresh();
    const faults = state.faults.map((one) => [one.message, one.remedy].filter(Boolean).join(" "));
    this.told({ findings: faults.length ? faults : [state.message || "It broke off. The layout is as it was."] });
  }

  wait(busy) {
    this.busy = busy;
    place.setAttribute("aria-busy", String(busy));
    for (const part of place.children) if (part !== this.progress.node) part.inert = busy;
    if (!busy) this.progress.hide();
    if (!busy) this.board.node.focus({ preventScroll: true });
  }

  // A layout on its way, as planning shows it: the pieces where they are by now, and what it comes to.
  watch(state) {
    this.progress.tell(state);
    const { live } = state;
    if (!live || live.title !== this.table.data.title || live === this.live) return;
    this.live = live;
    this.table.show(live.spots);
    for (const part of this.table.parts) this.board.shape(part);
    this.board.mark(null, []);
    this.board.showEnd();
    this.board.grow();
    this.comesTo(live, "so far ");
  }

  say(words) {
    this.verdict.replaceChildren(h("p", {}, words));
  }

  // ---- how it looks ----

  refreshClashes(part) {
    const clashes = this.table.clashes(part).map((one) => ({ part, ...one }));
    this.board.mark(this.chosen, clashes);
    this.board.showEnd();
    const said = clashes.map(({ other }) => (other ? other.name : "a flaw")).join(", ");
    if (said !== this.lastSaid) {
      this.lastSaid = said;
      if (said) this.say(`✕ ${part.name} overlaps ${said}.`);
      else this.say(`${part.name} lies clear.`);
    }
  }

  refresh() {
    const { parts } = this.table;
    const seen = new Set();
    const clashes = [];
    for (const part of parts) {
      for (const one of this.table.clashes(part)) {
        const pair = [part.key, one.other?.key ?? "flaw"].sort().join("|");
        if (!seen.has(pair)) clashes.push({ part, ...one });
        seen.add(pair);
      }
    }
    this.lastSaid = null;
    this.board.mark(this.chosen, clashes);
    this.board.showEnd();
    const hit = new Set(clashes.flatMap(({ part, other }) => [part.key, other?.key]));
    for (const part of parts) {
      const { control, say } = this.items.get(part.key);
      control.setAttribute("aria-pressed", String(part === this.chosen));
      say.textContent = [part.pinned ? "pinned" : "", hit.has(part.key) ? "✕ overlaps" : ""].filter(Boolean).join(", ");
    }
    const { buttons, chosen } = this;
    buttons.undo.disabled = !this.table.canUndo;
    buttons.redo.disabled = !this.table.canRedo;
    buttons.turn.disabled = !chosen || chosen.ways.filter((way) => way.mirrored === chosen.mirrored && way.straight).length < 2;
    buttons.tilt.hidden = !parts.some((part) => part.tilts.length > 1);
    buttons.tilt.disabled = !chosen || chosen.tilts.length < 2;
    buttons.mirror.disabled = !chosen || !chosen.ways.some((way) => way.mirrored !== chosen.mirrored);
    buttons.over.hidden = !this.table.data.changes_over;
    buttons.over.disabled = !chosen;
    buttons.over.textContent = chosen?.section === "opened-out" ? "Cut it on the fold" : "Cut it opened out";
    buttons.pin.disabled = !chosen;
    buttons.pin.textContent = chosen?.pinned ? "Take the pin out" : "Pin";
    buttons.round.disabled = !this.table.pins.length;
    buttons.keep.disabled = !this.dirty || !this.good || clashes.length > 0;
  }
}

let desk = null;
let asked = 0;

async function show() {
  if (!job.cloth || !job.state?.files.length) return;
  const number = (asked += 1);
  let data;
  try {
    data = await job.steadily(() => job.question("layout", { cloth: job.cloth }), 4);
  } catch {
    return; // a plan of before this cloth was chosen; the next news brings it
  }
  if (number === asked) desk = new Desk(data, desk);
}

// What was refused leaves the layout as the hand has it.
job.addEventListener("over", ({ detail }) => { if (detail.state === "done" || !desk) show(); });
job.addEventListener("cloth", show);
show(); // the job may have been over before this module had loaded
