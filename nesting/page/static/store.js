// The order being written: its text is the one truth; the form shows what the text says.
// Every edit goes to the server, which gives back the text, its values and its faults.
//
// The browser keeps one order, with a revision. A tab that finds another revision there than it
// last saw writes nothing over it: `other` is that order, until the dresser chooses.

import { ask, steadily } from "./ask.js";
import { MOST_KEPT, forgetHistory, keepHistory, keptHistory } from "./history.js";

const KEPT = "metrage-order";
const FIRST_TRIES = 5;

function keptOrder() {
  try {
    return JSON.parse(localStorage.getItem(KEPT));
  } catch {
    return null;
  }
}

const alike = (one, other) => one.order === other.order
  && JSON.stringify(one.drawings ?? {}) === JSON.stringify(other.drawings ?? {});

/** @typedef {{order: string, drawings: Record<string, string>}} Kept an order as it is kept */

class Store extends EventTarget {
  constructor() {
    super();
    /** @type {any} what the server saw in it */ this.seen = null;
    /** @type {Record<string, string>} */ this.drawings = {};
    this.queue = Promise.resolve();
    this.failure = "";
    this.other = null;
    this.unread = keptOrder();
    this.revision = this.unread?.revision;
    const { past, future } = keptHistory(this.revision);
    /** @type {Kept[]} */ this.past = past;
    /** @type {Kept[]} */ this.future = future;
    window.addEventListener("storage", ({ key }) => { if (key === KEPT) this.elsewhere(); });
  }

  get open() { return this.seen !== null; }
  get table() { return this.seen?.table ?? {}; }
  get unit() { return ["mm", "cm", "in"].includes(this.table.units) ? this.table.units : "cm"; }

  // The order as it is: in the form, or kept and still to be read.
  get now() {
    if (this.seen) return { order: this.seen.order, drawings: { ...this.drawings } };
    return this.unread?.order ? { order: this.unread.order, drawings: this.unread.drawings ?? {} } : null;
  }

  at(path) {
    let value = this.table;
    for (const step of path) value = value === null || value === undefined ? undefined : value[step];
    return value;
  }

  // What the browser kept from before, if anything.
  begin() {
    return this.now ? this.send((now) => now, { tries: FIRST_TRIES }) : this.queue;
  }

  // Another order altogether.
  load(order, drawings = {}) {
    return this.send(() => ({ order, drawings }));
  }

  edit(...edits) {
    return this.send((now) => ({ ...now, edits }));
  }

  // What is in the form, set; blank takes it away.
  change(path, value) {
    const old = this.at(path);
    if (value === null) return old === undefined ? this.queue : this.edit({ do: "take", path });
    if (JSON.stringify(value) === JSON.stringify(old)) return this.queue;
    return this.edit({ do: "set", path, value });
  }

  undo() {
    return this.send(() => this.past.at(-1), { from: this.past, to: this.future });
  }

  redo() {
    return this.send(() => this.future.at(-1), { from: this.future, to: this.past });
  }

  // One after the other, each on what the last one gave: an order that is still being read is
  // there before another takes its place, and can be taken back. `from` and `to` are the ways back
  // and forth, where one of them is gone.
  send(next, { from = null, to = null, tries = 1 } = {}) {
    this.queue = this.queue.then(async () => {
      const before = this.now;
      const asked = next(before);
      if (!asked) return;
      this.dispatchEvent(new Event("busy"));
      try {
        this.seen = await steadily(() => ask("/api/look", { edits: [], ...asked }), () => {}, tries);
        this.drawings = asked.drawings;
        this.failure = "";
        if (from) {
          from.pop();
          to.push(before);
        } else if (before && (asked.edits || !alike(asked, before))) {
          this.remember(before);
        }
      } catch (refused) {
        this.failure = refused.message || "The page's own program failed. The order is kept.";
      }
      this.keep();
      this.dispatchEvent(new Event("change"));
    });
    return this.queue;
  }

  remember(before) {
    this.past.push(before);
    if (this.past.length > MOST_KEPT) this.past.shift();
    this.future.length = 0;
  }

  keep() {
    if (!this.seen) return;
    if (this.isOthers(keptOrder())) return;
    const revision = `${Date.now()}-${Math.random()}`;
    const write = () => localStorage.setItem(KEPT, JSON.stringify({ ...this.now, revision }));
    try {
      try {
        write();
      } catch {
        forgetHistory(); // the order itself comes first
        write();
      }
      this.revision = revision;
      this.kept = true;
      keepHistory(revision, this.past, this.future);
    } catch {
      this.kept = false; // too large, or the browser keeps nothing
    }
  }

  // Whether what is kept needs nothing from this tab: it is the same, or another tab's.
  isOthers(there) {
    const same = there && alike(there, this.now);
    this.other = there && !same && there.revision !== this.revision ? there : null;
    if (same) [this.revision, this.kept] = [there.revision, true];
    return same || this.other !== null;
  }

  // Another tab has kept something.
  elsewhere() {
    if (!this.seen) return;
    this.isOthers(keptOrder());
    this.dispatchEvent(new Event("change"));
  }

  // Of two orders, one in this tab and one kept by another: take that one, which can be undone...
  takeOther() {
    const { order, drawings, revision } = this.other;
    this.revision = revision;
    return this.load(order, drawings ?? {});
  }

  // ... or keep this one in its place, of which the other tab is told.
  keepOwn() {
    this.revision = this.other.revision;
    this.keep();
    this.dispatchEvent(new Event("change"));
  }
}

export const store = new Store();
