// What a hand does to a layout: choose, move, turn, mirror, pin, take back, and measure.

import { h } from "./dom.js";
import { job } from "./job.js";
import { keepHands } from "./kept.js";
import { about, refresh, refreshClashes } from "./state.js";

const PAST_MM = 40; // so far past a line a piece is dragged on purpose

export class Moves {
  constructor() {
    /** @type {import("./table.js").Table} */ this.table = null;
    /** @type {import("./board.js").Board} */ this.board = null;
    /** @type {any} the part that is chosen */ this.chosen = null;
    /** @type {Record<string, HTMLButtonElement>} */ this.buttons = {};
    /** @type {Map<string, any>} each part's row in the list */ this.items = new Map();
    /** @type {HTMLElement} */ this.list = null;
    /** @type {HTMLElement} */ this.figures = null;
    /** @type {HTMLElement} */ this.verdict = null;
    /** @type {HTMLElement} */ this.about = null;
    this.measuring = false;
    this.held = false;
    this.seconds = 10;
    this.dirty = false;
    this.good = false;
    /** @type {string | null} */ this.lastSaid = null;
  }

  // What the server has to look at, and how the board is built anew: a desk's own.
  /** @param {any} _moved */
  async check(_moved) {}

  /** @param {any} [_which] */
  rebuild(_which) {}

  choose(part) {
    this.chosen = part;
    if (part) {
      this.board.raise(part);
      const item = this.items.get(part.key).control;
      if (item.offsetParent && !this.list.contains(document.activeElement)) item.scrollIntoView({ block: "nearest" });
    }
    this.refresh();
  }

  record() {
    this.table.record();
    keepHands(job.key, this.table);
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
    this.record();
    this.check(part);
  }

  nudge(dx, dy) {
    this.move(this.chosen, this.chosen.x + dx, this.chosen.y + dy);
    this.record();
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
    this.record();
    this.check(part);
  }

  pin() {
    if (!this.chosen) return;
    this.chosen.pinned = !this.chosen.pinned;
    this.record();
    this.refresh();
    this.say(`${this.chosen.name} ${this.chosen.pinned ? "is pinned" : "is free again"}.`);
  }

  back(by) {
    if (by < 0 ? !this.table.canUndo : !this.table.canRedo) return;
    const { data } = this.table;
    this.table.go(by);
    keepHands(job.key, this.table);
    if (data !== this.table.data) this.rebuild(this.chosen?.which);
    for (const part of this.table.parts) this.board.shape(part);
    this.refresh();
    this.check(null);
  }

  say(words) {
    this.verdict.replaceChildren(h("p", {}, words));
  }

  refreshClashes(part) { refreshClashes(this, part); }

  refresh() { refresh(this); }

  // What a part measures and where it lies, while the hand is over it.
  hover(part) { this.about.textContent = part ? about(this.table, part) : ""; }

  // A tape to lay on the cloth, until it is put away.
  measure() {
    this.measuring = !this.measuring;
    this.board.node.classList.toggle("measuring", this.measuring);
    this.buttons.measure.setAttribute("aria-pressed", String(this.measuring));
    this.board.measureOut(null);
    this.say(this.measuring ? "Drag from one point to another to measure between them." : "");
  }
}
