// The order being written: its text is the one truth; the form shows what the text says.
// Every edit goes to the server, which gives back the text, its values and its faults.

import { ask } from "./ask.js";

const KEPT = "metrage-order";
const MOST_UNDONE = 50;

class Store extends EventTarget {
  constructor() {
    super();
    this.seen = null;
    this.drawings = {};
    this.past = [];
    this.queue = Promise.resolve();
    this.failure = "";
  }

  get open() { return this.seen !== null; }
  get table() { return this.seen?.table ?? {}; }
  get unit() { return ["mm", "cm", "in"].includes(this.table.units) ? this.table.units : "cm"; }

  at(path) {
    let value = this.table;
    for (const step of path) value = value === null || value === undefined ? undefined : value[step];
    return value;
  }

  // Another order altogether.
  load(text, drawings = {}) {
    if (this.seen) this.remember();
    this.drawings = drawings;
    return this.send(() => text, []);
  }

  edit(...edits) {
    return this.send(() => this.seen.order, edits);
  }

  // What is in the form, set; blank takes it away.
  change(path, value) {
    const old = this.at(path);
    if (value === null) return old === undefined ? this.queue : this.edit({ do: "take", path });
    if (JSON.stringify(value) === JSON.stringify(old)) return this.queue;
    return this.edit({ do: "set", path, value });
  }

  undo() {
    const before = this.past.pop();
    if (!before) return this.queue;
    this.drawings = before.drawings;
    return this.send(() => before.order, []);
  }

  remember() {
    this.past.push({ order: this.seen.order, drawings: { ...this.drawings } });
    if (this.past.length > MOST_UNDONE) this.past.shift();
  }

  // Edits are done one after the other, each on what the last one gave.
  send(text, edits) {
    this.queue = this.queue.then(async () => {
      if (edits.length) this.remember();
      this.dispatchEvent(new Event("busy"));
      try {
        this.seen = await ask("/api/look", { order: text(), drawings: this.drawings, edits });
        this.failure = "";
      } catch (refused) {
        if (edits.length) this.past.pop();
        this.failure = refused.message || "The page's own program failed. The order is kept.";
      }
      this.keep();
      this.dispatchEvent(new Event("change"));
    });
    return this.queue;
  }

  keep() {
    if (!this.seen) return;
    try {
      localStorage.setItem(KEPT, JSON.stringify({ order: this.seen.order, drawings: this.drawings }));
      this.kept = true;
    } catch {
      this.kept = false; // too large, or the browser keeps nothing
    }
  }

  static kept() {
    try {
      return JSON.parse(localStorage.getItem(KEPT));
    } catch {
      return null;
    }
  }
}

export const store = new Store();
export const keptOrder = () => Store.kept();
