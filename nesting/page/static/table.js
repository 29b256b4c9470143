// The state of a layout under the hand: where every part lies, what is pinned, and the way back.

import { boxOf, overlapAt, shifted, turned } from "./overlap.js";

/** @typedef {number[][]} Ring points of an outline, in mm */

export const keyOf = (which) => JSON.stringify(which);

export class Part {
  /** @param {any} data as the server gives it */
  constructor(data) {
    const { spot, ...rest } = data;
    /** @type {any[]} */ this.ways = [];
    /** @type {[string, string, number]} */ this.which = null;
    /** @type {Ring} */ this.keep = [];
    this.section = "main";
    this.name = "";
    this.number = 0;
    this.turn = 0;
    this.mirrored = false;
    this.x = 0;
    this.y = 0;
    Object.assign(this, rest);
    this.key = keyOf(data.which);
    [this.turn, this.mirrored, this.x, this.y] = spot;
    this.pinned = false;
    this.shape();
  }

  get way() {
    return this.ways.find((one) => one.turn_deg === this.turn && one.mirrored === this.mirrored) ?? this.ways[0];
  }

  // The way on the grain that it lies nearest to, and all those a little off it.
  get upright() {
    const off = (way) => Math.abs(((way.turn_deg - this.turn + 540) % 360) - 180);
    const own = this.ways.filter((way) => way.mirrored === this.mirrored && way.straight);
    return own.reduce((best, way) => (off(way) < off(best) ? way : best), own[0]);
  }

  get tilts() {
    const base = this.upright;
    const off = (way) => Math.abs(((way.turn_deg - base.turn_deg + 540) % 360) - 180);
    return this.ways.filter((way) => way.mirrored === this.mirrored && off(way) < 20);
  }

  // What must not meet another part: turned once, shifted when it moves.
  shape() {
    this.still = turned(this.keep, this.turn, this.mirrored);
    this.place();
  }

  place() {
    this.ring = shifted(this.still, this.x, this.y);
    this.box = boxOf(this.ring);
  }

  // To where it may lie: not before the cut end, and in a band or with its edge on a fold.
  moveTo(x, y) {
    const { x_low: least, y_ranges: ranges } = this.way;
    const off = ([low, high]) => Math.max(low - y, y - high, 0);
    const [low, high] = ranges.reduce((best, one) => (off(one) < off(best) ? one : best));
    this.x = Math.max(least, x);
    this.y = Math.min(high, Math.max(low, y));
    this.place();
  }

  // Turned about the middle of its box, so that it stays under the finger.
  turnTo(way) {
    const middle = [(this.box[0] + this.box[2]) / 2, (this.box[1] + this.box[3]) / 2];
    [this.turn, this.mirrored] = [way.turn_deg, way.mirrored];
    this.shape();
    this.moveTo(this.x + middle[0] - (this.box[0] + this.box[2]) / 2, this.y + middle[1] - (this.box[1] + this.box[3]) / 2);
  }

  get spot() {
    return [this.which, this.turn, this.mirrored, this.x, this.y, this.section];
  }
}

const OPENED = "opened-out";

// A cloth is one strip, or two: a folded part, and the section opened out where that ends. Parts
// lie on their own strip, so the section moves along as the folded part gets longer.
export class Table {
  constructor(data) {
    this.first = data;
    this.take(data);
    this.past = [this.snapshot()];
    this.now = 0;
  }

  // What was kept of the hand's work on this very layout.
  bring(kept) {
    if (!kept) return;
    this.past = kept.past.map((places) => ({ data: this.data, places }));
    this.now = kept.now;
    this.put(this.past[this.now].places);
  }

  take(data) {
    this.data = data;
    this.parts = data.parts.map((one) => new Part(one));
    this.flaws = data.flaws.map(({ section, outline }) => ({ section, ring: outline, box: boxOf(outline) }));
  }

  snapshot() {
    const places = this.parts.map(({ key, turn, mirrored, x, y, pinned }) => ({ key, turn, mirrored, x, y, pinned }));
    return { data: this.data, places };
  }

  record() {
    this.past = [...this.past.slice(0, this.now + 1), this.snapshot()];
    this.now += 1;
  }

  amend() {
    this.past[this.now] = this.snapshot();
  }

  get canUndo() { return this.now > 0; }
  get canRedo() { return this.now < this.past.length - 1; }

  go(by) {
    this.now = Math.min(this.past.length - 1, Math.max(0, this.now + by));
    this.restore(this.past[this.now]);
  }

  restore({ data, places }) {
    if (data !== this.data) this.take(data);
    this.put(places);
  }

  put(places) {
    const known = new Map(this.parts.map((part) => [part.key, part]));
    for (const { key, ...where } of places) {
      const part = known.get(key);
      if (part) Object.assign(part, where).shape();
    }
  }

  // Where the server has them just now.
  show(spots) {
    this.put(spots.map(([which, turn, mirrored, x, y]) => ({ key: keyOf(which), turn, mirrored, x, y })));
  }

  // Another division of the same cloth: parts that lie where one was pinned are pinned.
  change(data) {
    const pins = new Set(this.parts.filter((part) => part.pinned).map(placeOf));
    this.take(data);
    for (const part of this.parts) part.pinned = pins.has(placeOf(part));
    this.record();
  }

  // A layout that the server has made goes on from the history of the one before, pins and all.
  follow(before) {
    const lies = ({ lay_name: lay, shape }) => JSON.stringify([lay, shape.depth_mm]);
    if (lies(before.data) !== lies(this.data)) return;
    const pins = new Set(before.parts.filter((part) => part.pinned).map((part) => part.key));
    for (const part of this.parts) part.pinned = pins.has(part.key);
    this.past = [...before.past.slice(0, before.now + 1), this.snapshot()];
    this.now = this.past.length - 1;
  }

  // What a part runs into on its strip: others, or flaws (other null), and where on the table.
  clashes(part) {
    const found = [];
    const [dx, dy] = this.offset(part.section);
    const hit = (other, thing) => {
      const at = thing.section === part.section && overlapAt(part.ring, thing.ring, part.box, thing.box);
      if (at) found.push({ other, at: [at[0] + dx, at[1] + dy] });
    };
    for (const other of this.parts) if (other !== part) hit(other, other);
    for (const flaw of this.flawsNow) hit(null, flaw);
    return found;
  }

  // Flaws stay on the cloth while the section begins elsewhere on it.
  get flawsNow() {
    const by = this.data.shape.section ? this.data.shape.section.from_mm - this.opening : 0;
    if (!by) return this.flaws;
    return this.flaws.map((flaw) => {
      if (flaw.section !== OPENED) return flaw;
      const ring = shifted(flaw.ring, by, 0);
      return { ...flaw, ring, box: boxOf(ring) };
    });
  }

  // How far along the strip its parts reach, or its fold where that keeps clear of flaws.
  reach(section) {
    const least = section === "main" ? this.data.folded_mm : 0;
    return Math.max(least, ...this.parts.filter((part) => part.section === section).map((part) => part.x + part.way.x_reach));
  }

  // Where along the table the cloth lies open; null if it is one strip.
  get opening() { return this.data.shape.section ? this.reach("main") : null; }

  // Where a strip begins on the table, and its y = 0.
  offset(section) {
    return section === OPENED ? [this.opening, -this.data.shape.section.below_mm] : [0, 0];
  }

  get end() { return this.reach("main") + this.reach(OPENED); }

  get spots() { return this.parts.map((part) => part.spot); }
  get pins() { return this.parts.filter((part) => part.pinned).map((part) => part.which); }
}

const placeOf = ({ which: [garment, piece], section, x, y }) => JSON.stringify([garment, piece, section, x.toFixed(2), y.toFixed(2)]);
