// The drawing of a layout: cloth, folds, selvedges and parts, with rulers; zoom and pan.

import { s } from "./dom.js";
import { sectionOf } from "./marker.js";
import { roomiest, shifted, turned } from "./overlap.js";
import { laidTape, rulers } from "./rulers.js";
import { View } from "./view.js";
import { colourClass, numbersOf, weaves } from "./weaves.js";

const path = (points, closed) => (points.length ? `M${points.map(([x, y]) => `${x} ${y}`).join("L")}${closed ? "Z" : ""}` : "");
export class Board extends View {
  constructor(table, { label }) {
    super();
    this.table = table;
    this.numbers = numbersOf(table.data.garments);
    this.weaves = weaves(this.numbers.size);
    this.nodes = new Map();
    this.marks = s("g", { class: "clash-marks" });
    this.under = s("g", { class: "cloth" });
    this.strips = { main: s("g", { class: "board-parts" }), "opened-out": s("g", { class: "board-parts" }) };
    this.endLine = s("path", { class: "end-line" });
    this.rulers = s("g", { class: "rulers", "aria-hidden": "true" });
    this.tape = s("g", { class: "laid-tape" });
    this.turned = s("g", { transform: "scale(1 -1)" }, this.under, Object.values(this.strips), this.endLine);
    this.measure();
    this.node = s("svg", {
      class: "board", tabindex: 0, role: "application", "aria-label": label,
      "aria-roledescription": "layout", "aria-describedby": "board-keys",
    }, this.patterns(), this.weaves.defs, s("g", { class: "world" }, this.turned, this.marks, this.tape), this.rulers);
    for (const part of table.parts) this.add(part);
    new ResizeObserver(() => this.resized()).observe(this.node);
  }

  patterns() {
    return s("defs", {}, s("pattern", { id: "clash-lines", width: 14, height: 14, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
      s("rect", { width: 5, height: 14 })));
  }

  // How far the cloth reaches that the drawing has room for.
  measure() {
    const { shape, table_length_mm: used, cloth_mm: long } = this.table.data;
    const low = shape.folds_mm.includes(0) ? 0 : -shape.selvedge_mm;
    const high = shape.depth_mm + (shape.folds_mm.includes(shape.depth_mm) ? 0 : shape.selvedge_mm);
    this.across = [low, high];
    this.opened = sectionOf(shape);
    this.long = Math.max(long, used);
    this.extent = { low: Math.min(low, this.opened.low), high: Math.max(high, this.opened.high), long: this.long };
    this.showEnd();
  }

  // All of it is in sight as long as nobody has looked closer, pieces laid past the cloth too.
  grow() {
    const long = Math.max(this.long, this.table.end);
    if (Math.abs(long - this.extent.long) < 1) return;
    this.extent.long = long;
    if (this.isFitted && this.size) this.fit();
  }

  cloth(opening) {
    const { shape, turned: cutApart } = this.table.data;
    const [low, high] = this.across;
    const long = Math.max(this.long, opening ?? 0);
    const folded = opening ?? long;
    const across = (y, kind) => s("path", { class: kind, d: `M0 ${y}H${folded}` });
    const rect = (kind, x, /** @type {number[]} */ [from, to], width) => s("rect", { class: kind, x, y: from, width, height: to - from });
    const far = shape.fold_end ? "fold" : cutApart ? "cut-apart" : "far-end";
    const single = long - folded;
    return [
      rect("selvedges", 0, [low, high], folded),
      shape.bands_mm.map((band) => rect("clear", 0, band, folded)),
      opening === null ? null : [
        rect("selvedges", folded, [this.opened.low, this.opened.high], single), rect("clear", folded, this.opened.clear, single),
        s("path", { class: "opening", d: `M${folded} ${this.extent.low}V${this.extent.high}` })],
      this.table.flawsNow.map(({ section, ring }) => s("path", { class: "flaw", d: path(shifted(ring, ...this.table.offset(section)), true) })),
      shape.folds_mm.includes(0) ? null : across(low, "edge"),
      shape.folds_mm.includes(shape.depth_mm) ? null : across(high, "edge"),
      shape.inner_edges_mm.map((y) => across(y, "inner-edge")),
      shape.folds_mm.map((y) => across(y, "fold")),
      s("path", { class: shape.fold_start ? "fold" : "cut-end", d: `M0 ${low}V${high}` }),
      s("path", { class: far, d: `M${long} ${this.extent.low}V${this.extent.high}` }),
    ].flat(2).filter(Boolean);
  }

  add(part) {
    const lines = s("g", { class: "lines" });
    const wearer = this.numbers.get(part.garment);
    const body = s("path", { class: `piece ${colourClass(wearer)}` });
    const woven = this.weaves.fill(wearer);
    const texture = woven ? s("path", { class: "texture", fill: woven }) : null;
    const hatch = s("path", { class: "hatch", fill: "url(#clash-lines)" });
    const number = s("text", { class: "number", "text-anchor": "middle" }, String(part.number));
    const name = s("text", { class: "name", "text-anchor": "middle" }, part.name);
    const pin = s("text", { class: "pin", "text-anchor": "middle" }, "pinned");
    const grain = s("path", { class: "grain" });
    const words = s("g", { class: "words" }, number, name, pin, grain);
    const node = s("g", { class: "part" }, s("title", {}, part.name), body, texture, lines, hatch, words);
    node.dataset.key = part.key;
    this.strips[part.section].append(node);
    this.nodes.set(part.key, { node, lines, body, texture, hatch, words, number, name, pin, grain });
    this.shape(part);
  }

  // After a turn: the lines anew. A move only shifts them.
  shape(part) {
    const { body, lines, texture, hatch } = this.nodes.get(part.key);
    const laid = (points) => turned(points, part.turn, part.mirrored);
    const outline = laid(part.outline);
    body.setAttribute("d", path(outline, true));
    texture?.setAttribute("d", path(outline, true));
    hatch.setAttribute("d", path(outline, true));
    const flip = part.mirrored ? -1 : 1;
    const notches = part.notches.map(([x, y, deg]) => {
      const [[ax, ay]] = laid([[x, y]]);
      const angle = ((flip * deg + part.turn) * Math.PI) / 180;
      return `M${ax} ${ay}L${ax + 8 * Math.cos(angle)} ${ay + 8 * Math.sin(angle)}`;
    }).join("");
    lines.replaceChildren(
      ...part.sewing.map((line) => s("path", { class: "sewing", d: path(laid(line), false) })),
      ...part.drawn.map((line) => s("path", { class: "drawn", d: path(laid(line), false) })),
      ...part.centres.map((line) => s("path", { class: "centre", d: path(laid(line), false) })),
      ...part.folds.map((line) => s("path", { class: "on-fold", d: path(laid(line), false) })),
      ...part.inside.map((line) => s("path", { class: "inside", d: path(laid(line), false) })),
      s("path", { class: "notches", d: notches }));
    part.label = roomiest(outline);
    const [[x0, y0], [x1, y1]] = laid(part.grain);
    part.thread = Math.atan2(y0 - y1, x1 - x0); // as the screen has it, y down
    this.place(part);
  }

  arrow(part, half, y) {
    const [dx, dy] = [Math.cos(part.thread), Math.sin(part.thread)];
    const head = (sign) => {
      const [tx, ty] = [sign * half * dx, y + sign * half * dy];
      const [bx, by] = [tx - sign * half * 0.4 * dx, ty - sign * half * 0.4 * dy];
      const wing = half * 0.2;
      return `M${bx - wing * dy} ${by + wing * dx}L${tx} ${ty}L${bx + wing * dy} ${by - wing * dx}`;
    };
    return `M${-half * dx} ${y - half * dy}L${half * dx} ${y + half * dy}${head(1)}${this.table.data.arrows === "two" ? head(-1) : ""}`;
  }

  // The chosen part lies above the others.
  raise(part) {
    const { node } = this.nodes.get(part.key);
    const strip = this.strips[part.section];
    if (strip.lastChild !== node) strip.append(node);
  }

  place(part) {
    const { node } = this.nodes.get(part.key);
    node.setAttribute("transform", `translate(${part.x} ${part.y})`);
  }

  // Text keeps its size on the screen; what has no room is left out.
  label(part) {
    if (!this.size) return;
    const { words, number, name, pin, grain } = this.nodes.get(part.key);
    const px = this.mmPerPx;
    const size = Math.max(11 * px, Math.min(15 * px, part.label.room * 0.8));
    words.setAttribute("transform", `translate(${part.label.at[0]} ${part.label.at[1]}) scale(1 -1)`);
    const roomy = part.label.room > size * 1.1 && part.name.length * size * 0.8 * 0.54 < 2 * part.label.beside;
    number.setAttribute("font-size", size);
    name.setAttribute("font-size", size * 0.8);
    name.setAttribute("y", size);
    name.classList.toggle("gone", !roomy);
    pin.setAttribute("font-size", size * 0.8);
    pin.setAttribute("y", roomy ? size * 1.9 : size);
    pin.classList.toggle("gone", !part.pinned);
    const below = size * ((roomy ? 1.35 : 0.4) + (part.pinned ? 0.9 : 0));
    const rise = Math.abs(Math.sin(part.thread));
    const half = Math.min(22 * px, rise > 0.3 ? (part.label.room - below) / (2 * rise) : part.label.beside * 0.8);
    const fits = half > 5 * px && below < part.label.room;
    grain.setAttribute("d", fits ? this.arrow(part, half, below + Math.max(size * 0.2, half * rise)) : "");
  }

  // How parts look: chosen, pinned, in each other's way.
  mark(chosen, clashes) {
    const hit = new Set();
    if (!this.size) clashes = []; // no marks before there is a scale for them
    this.marks.replaceChildren(...clashes.flatMap(({ part, other, at }) => {
      hit.add(part.key);
      if (other) hit.add(other.key);
      const r = 9 * this.mmPerPx;
      return [s("g", { class: "clash-mark", transform: `translate(${at[0]} ${-at[1]})` },
        s("circle", { r: r * 1.3 }), s("path", { d: `M${-r * 0.6} ${-r * 0.6}L${r * 0.6} ${r * 0.6}M${-r * 0.6} ${r * 0.6}L${r * 0.6} ${-r * 0.6}` }))];
    }));
    for (const part of this.table.parts) {
      const { node } = this.nodes.get(part.key);
      node.classList.toggle("chosen", part === chosen);
      node.classList.toggle("pinned", part.pinned);
      node.classList.toggle("clash", hit.has(part.key));
      this.label(part);
    }
  }

  // Where the pieces end, and where the cloth is opened out: both move with the pieces.
  showEnd() {
    const { low, high } = this.extent;
    const { opening, end } = this.table;
    this.endLine.setAttribute("d", `M${end} ${low}V${high}`);
    if (this.shownOpening === opening) return;
    this.shownOpening = opening;
    this.under.replaceChildren(...this.cloth(opening));
    if (opening !== null) this.strips["opened-out"].setAttribute("transform", `translate(${this.table.offset("opened-out")})`);
  }

  look() {
    const [width, height] = this.size;
    this.node.setAttribute("viewBox", `${this.left} ${this.top} ${width * this.mmPerPx} ${height * this.mmPerPx}`);
    this.weaves.scale(this.mmPerPx * 0.9);
    for (const part of this.table.parts) this.label(part);
    this.drawRulers();
    this.measureOut(this.ends);
  }

  drawRulers() {
    this.rulers.replaceChildren(...rulers(this, this.table.data.unit));
  }

  // A tape between two points of the cloth; none takes it off.
  measureOut(ends) {
    this.ends = ends;
    this.tape.replaceChildren(...(ends && this.size ? laidTape(ends, this.mmPerPx, this.table.data.unit) : []));
  }
}
