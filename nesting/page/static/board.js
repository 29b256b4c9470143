// The drawing of a layout: cloth, folds, selvedges and parts, with rulers; zoom and pan.

import { s } from "./dom.js";
import { coloursOf, sectionOf } from "./marker.js";
import { roomiest, shifted, turned } from "./overlap.js";
import { amount } from "./units.js";

const path = (points, closed) => (points.length ? `M${points.map(([x, y]) => `${x} ${y}`).join("L")}${closed ? "Z" : ""}` : "");
const RULER_PX = 26;
const STEPS_MM = {
  in: [25.4 / 8, 25.4 / 4, 25.4 / 2, 25.4, 50.8, 76.2, 152.4, 304.8, 914.4],
  cm: [1, 5, 10, 50, 100, 200, 500, 1000],
};

export class Board {
  constructor(table, { label }) {
    this.table = table;
    this.colours = coloursOf(table.data.garments);
    this.nodes = new Map();
    this.marks = s("g", { class: "clash-marks" });
    this.under = s("g", { class: "cloth" });
    this.strips = { main: s("g", { class: "board-parts" }), "opened-out": s("g", { class: "board-parts" }) };
    this.endLine = s("path", { class: "end-line" });
    this.rulers = s("g", { class: "rulers", "aria-hidden": "true" });
    this.turned = s("g", { transform: "scale(1 -1)" }, this.under, Object.values(this.strips), this.endLine);
    this.measure();
    this.node = s("svg", {
      class: "board", tabindex: 0, role: "application", "aria-label": label,
      "aria-roledescription": "layout", "aria-describedby": "board-keys",
    }, this.patterns(), s("g", { class: "world" }, this.turned, this.marks), this.rulers);
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
    const rect = (kind, x, [from, to], width) => s("rect", { class: kind, x, y: from, width, height: to - from });
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
    const body = s("path", { class: "piece", fill: this.colours.get(part.garment) ?? "#ddd" });
    const hatch = s("path", { class: "hatch", fill: "url(#clash-lines)" });
    const number = s("text", { class: "number", "text-anchor": "middle" }, String(part.number));
    const name = s("text", { class: "name", "text-anchor": "middle" }, part.name);
    const pin = s("text", { class: "pin", "text-anchor": "middle" }, "pinned");
    const grain = s("path", { class: "grain" });
    const words = s("g", { class: "words" }, number, name, pin, grain);
    const node = s("g", { class: "part" }, s("title", {}, part.name), body, lines, hatch, words);
    node.dataset.key = part.key;
    this.strips[part.section].append(node);
    this.nodes.set(part.key, { node, lines, body, hatch, words, number, name, pin, grain });
    this.shape(part);
  }

  // After a turn: the lines anew. A move only shifts them.
  shape(part) {
    const { body, lines, hatch } = this.nodes.get(part.key);
    const laid = (points) => turned(points, part.turn, part.mirrored);
    const outline = laid(part.outline);
    body.setAttribute("d", path(outline, true));
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

  // ---- looking ----

  resized() {
    const { width, height } = this.node.getBoundingClientRect();
    if (!width || !height) return;
    const first = !this.size;
    this.size = [width, height];
    if (first || this.isFitted) this.fit();
    else this.look();
  }

  fit() {
    const { low, high, long } = this.extent;
    const [width, height] = this.size;
    const [free, tall] = [width - RULER_PX - 16, height - RULER_PX - 16];
    this.mmPerPx = Math.max(long / free, (high - low) / tall);
    this.left = -(RULER_PX + 8) * this.mmPerPx - (free * this.mmPerPx - long) / 2;
    this.top = -high - (RULER_PX + 8) * this.mmPerPx - (tall * this.mmPerPx - (high - low)) / 2;
    this.isFitted = true;
    this.look();
  }

  zoom(by, at) {
    if (!this.size) return;
    const [px, py] = at ?? [this.size[0] / 2, this.size[1] / 2];
    const next = Math.min(12, Math.max(0.05, this.mmPerPx / by));
    this.left += px * (this.mmPerPx - next);
    this.top += py * (this.mmPerPx - next);
    this.mmPerPx = next;
    this.isFitted = false;
    this.look();
  }

  pan(dx, dy) {
    this.left -= dx * this.mmPerPx;
    this.top -= dy * this.mmPerPx;
    this.isFitted = false;
    this.look();
  }

  // So that a part can be seen.
  reveal(part) {
    if (!this.size) return;
    const [dx, dy] = this.table.offset(part.section);
    const [x, y] = [dx + (part.box[0] + part.box[2]) / 2, -dy - (part.box[1] + part.box[3]) / 2];
    const [wide, tall] = [this.size[0] * this.mmPerPx, this.size[1] * this.mmPerPx];
    if (x > this.left && x < this.left + wide && y > this.top && y < this.top + tall) return;
    this.left = x - wide / 2;
    this.top = y - tall / 2;
    this.isFitted = false;
    this.look();
  }

  look() {
    const [width, height] = this.size;
    this.node.setAttribute("viewBox", `${this.left} ${this.top} ${width * this.mmPerPx} ${height * this.mmPerPx}`);
    for (const part of this.table.parts) this.label(part);
    this.drawRulers();
  }

  // Where a point of the screen lies on the cloth.
  at(event) {
    const frame = this.node.getBoundingClientRect();
    return [this.left + (event.clientX - frame.left) * this.mmPerPx, -(this.top + (event.clientY - frame.top) * this.mmPerPx)];
  }

  drawRulers() {
    const px = this.mmPerPx;
    const unit = this.table.data.unit === "in" ? "in" : "cm";
    const steps = STEPS_MM[unit];
    const marked = steps.find((step) => step / px >= 62) ?? steps.at(-1);
    const fine = steps.find((step) => step / px >= 6) ?? marked;
    const [wide, tall] = [this.size[0] * px, this.size[1] * px];
    const band = RULER_PX * px;
    const said = (mm) => amount(mm, this.table.data.unit);
    const ticks = [];
    const texts = [];
    const text = (x, y, words, anchor) => texts.push(s("text", { x, y, "font-size": 11 * px, "text-anchor": anchor }, words));
    for (let n = Math.ceil(Math.max(0, this.left) / fine); n * fine <= Math.min(this.extent.long, this.left + wide); n += 1) {
      const mm = n * fine;
      const major = Math.abs(mm / marked - Math.round(mm / marked)) < 1e-6;
      ticks.push(`M${mm} ${this.top + band}v${-(major ? 9 : 5) * px}`);
      if (major) text(mm + 3 * px, this.top + 12 * px, said(mm), "start");
    }
    // Across, from the cloth's edge, selvedge and all, or from the fold: as the steps tell places.
    const [edge] = this.across;
    for (let n = Math.ceil(Math.max(0, -(this.top + tall) - edge) / fine); n * fine <= Math.min(this.extent.high, -this.top) - edge; n += 1) {
      const mm = n * fine;
      const major = Math.abs(mm / marked - Math.round(mm / marked)) < 1e-6;
      ticks.push(`M${this.left + band} ${-edge - mm}h${-(major ? 9 : 5) * px}`);
      if (major) text(this.left + 3 * px, -edge - mm - 3 * px, said(mm), "start");
    }
    const corner = s("text", { x: this.left + 4 * px, y: this.top + 16 * px, "font-size": 12 * px, class: "unit" }, this.table.data.unit);
    this.rulers.replaceChildren(
      s("rect", { class: "ruler", x: this.left, y: this.top, width: wide, height: band }),
      s("rect", { class: "ruler", x: this.left, y: this.top, width: band, height: tall }),
      s("path", { class: "ticks", d: ticks.join("") }), ...texts,
      s("rect", { class: "ruler", x: this.left, y: this.top, width: band, height: band }), corner);
  }
}
