// The order being written: its text is the one truth; the form shows what the text says.
// Every edit goes to the server, which gives back the text, its values and its faults.
//
// Each state has a revision and is kept on the shelf; until that has it, in the browser. Where
// another tab or browser has changed the order meanwhile, both are kept: what this one has becomes
// an order of its own.

import { aimed } from "./aim.js";
import { ask, steadily } from "./ask.js";
import { MOST_KEPT, packWay, unpackedWay } from "./history.js";
import { isOf, newKey, putOut, send, takeIn, waiting } from "./outbox.js";

const FIRST_TRIES = 5;

const alike = (one, other) => one.order === other.order
  && JSON.stringify(one.drawings ?? {}) === JSON.stringify(other.drawings ?? {});

/** @typedef {{order: string, drawings: Record<string, string>}} Kept an order as it is kept */

class Store extends EventTarget {
  constructor() {
    super();
    this.key = location.pathname.split("/")[2] ?? "";
    /** @type {any} what the server saw in it */ this.seen = null;
    /** @type {Record<string, string>} */ this.drawings = {};
    this.queue = Promise.resolve();
    this.failure = "";
    /** @type {Kept | null} */ this.unread = null;
    /** @type {Kept[]} */ this.past = [];
    /** @type {Kept[]} */ this.future = [];
    this.revision = "";
    /** @type {string[]} revisions that the next one comes after */ this.after = [];
    this.untouched = false;
    /** @type {any} a later state of it from elsewhere */ this.other = null;
    /** @type {string} the order this one has parted from */ this.parted = "";
    /** @type {string} when the shelf took it */ this.saved = "";
    /** @type {string} why the shelf does not */ this.unkept = "";
    this.inBrowser = true;
    this.sending = Promise.resolve();
    this.toSend = false;
    window.addEventListener("storage", ({ key, newValue }) => { if (isOf(key, this.key) && !newValue) this.lookElsewhere(); });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.lookElsewhere(); });
  }

  get open() { return this.seen !== null; }
  get table() { return this.seen?.table ?? {}; }
  get unit() { return ["mm", "cm", "in"].includes(this.table.units) ? this.table.units : "cm"; }

  // The order as it is: in the form, or kept and still to be read.
  get now() {
    if (this.seen) return { order: this.seen.order, drawings: { ...this.drawings } };
    return this.unread;
  }

  at(path) {
    let value = this.table;
    for (const step of path) value = value === null || value === undefined ? undefined : value[step];
    return value;
  }

  // What waits in the browser, or else what the shelf has.
  begin() {
    this.queue = this.queue.then(async () => {
      const here = waiting(this.key);
      try {
        this.take(here ?? await steadily(() => ask(`/api/shelf/${this.key}`), () => {}, FIRST_TRIES));
        if (here) [this.after, this.untouched, this.toSend] = [[...here.after, here.revision], Boolean(here.untouched), !here.untouched];
        else this.after = [this.revision];
      } catch (refused) {
        this.failure = refused.status === 404 ? "There is no such order on the shelf. It may have been erased." : refused.message;
        this.dispatchEvent(new Event("change"));
      }
    });
    return this.send((now) => now, { tries: FIRST_TRIES });
  }

  take({ order, drawings, way, revision, name, saved = "" }) {
    this.unread = { order, drawings: drawings ?? {} };
    this.toSend = !name && saved !== ""; // brought without being read
    [this.revision, this.saved] = [revision, saved];
    ({ past: this.past, future: this.future } = unpackedWay(way));
  }

  // Another text in this one's place.
  load(order, drawings = {}) {
    return this.send(() => ({ order, drawings }));
  }

  // Each edit, or what makes one, is made up at its turn: those before it may still be on their way.
  edit(...asked) {
    const shown = this.table;
    return this.send((now) => {
      const edits = asked.map((one) => (typeof one === "function" ? one() : this.made(one, shown))).filter(Boolean);
      return edits.length ? { ...now, edits } : null;
    });
  }

  // An edit as it fits the order now; null if what it was meant for is gone, or is so already.
  made({ path, value, ...edit }, shown) {
    if (!path) return { ...edit, value };
    const there = aimed(path, shown, this.table);
    if (there === null) return null;
    const old = this.at(there);
    const next = typeof value === "function" ? value(old) : value;
    if (edit.do === "take" || next === null) return old === undefined ? null : { do: "take", path: there };
    if (edit.do === "set" && JSON.stringify(next) === JSON.stringify(old)) return null;
    return { ...edit, path: there, value: next };
  }

  // What is in the form, set; blank takes it away. A function makes it of what stands there.
  change(path, value) {
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
        const changed = Boolean(before) && !alike(before, this.now);
        if (from) {
          from.pop();
          to.push(before);
        } else if (before && (asked.edits || changed)) {
          this.remember(before);
        }
        if (from || changed) this.touch();
        else if (this.toSend) this.keep();
      } catch (refused) {
        this.failure = refused.message || "The page's own program failed. The order is kept.";
      }
      this.dispatchEvent(new Event("change"));
    });
    return this.queue;
  }

  remember(before) {
    this.past.push(before);
    if (this.past.length > MOST_KEPT) this.past.shift();
    this.future.length = 0;
  }

  // It is to stand on the shelf as it is now.
  touch() {
    this.untouched = false;
    this.revision = newKey();
    this.keep();
    return this.sending;
  }

  keep() {
    this.saved = "";
    this.toSend = true;
    this.inBrowser = putOut(this.key, this.state());
    this.after.push(this.revision);
    this.sending = this.sending.then(() => this.deliver());
  }

  state() {
    const { garment = [], fabric = {} } = this.table;
    const about = [...(Array.isArray(garment) ? garment.map((one) => one?.name) : []), ...Object.keys(fabric)];
    return { ...this.now, name: String(this.table.name ?? ""), about: about.filter((one) => typeof one === "string"),
      way: packWay(this.past, this.future), revision: this.revision, after: this.after.filter((one) => one !== this.revision).slice(-100) };
  }

  // What it is by now, to the shelf; several changes in a row go together.
  async deliver() {
    if (!this.toSend) return;
    this.toSend = false;
    const { key, revision } = this;
    const state = this.state();
    try {
      const line = await steadily(() => send(key, state), (lost) => this.tell(lost.message));
      this.part(line.key);
      if (line.key !== key || this.revision === revision) takeIn(key);
      if (this.revision === revision) {
        [this.revision, this.after, this.saved] = [line.revision, [line.revision], line.saved];
      } else {
        putOut(this.key, this.state());
      }
      this.tell("");
    } catch (refused) {
      this.toSend = true; // with the next change; until then the browser has it
      this.tell(refused.message);
    }
  }

  // What is planned stands on the shelf first, also an example as it is.
  settle() {
    return this.untouched ? this.touch() : this.sending;
  }

  tell(unkept) {
    this.unkept = unkept;
    this.dispatchEvent(new Event("kept"));
  }

  // The order was changed elsewhere, and this one is beside it from now on.
  part(key) {
    if (key === this.key) return;
    [this.parted, this.other, this.key] = [this.key, null, key];
    history.replaceState(null, "", `/order/${key}`);
  }

  async lookElsewhere() {
    if (!this.open || this.toSend || this.untouched) return;
    const { revision } = this;
    const there = await ask(`/api/shelf/${this.key}`).catch(() => null);
    if (!there || this.toSend || revision !== this.revision) return;
    this.other = there.revision === revision || alike(there, this.now) ? null : there;
    this.tell(this.unkept);
  }

  // The state from elsewhere is to be this one's too, which can be undone.
  takeOther() {
    const { order, drawings, revision } = this.other;
    this.other = null;
    this.after = [revision];
    return this.load(order, drawings);
  }
}

export const store = new Store();
