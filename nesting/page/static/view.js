// What part of the cloth a drawing shows: fitted to its place, zoomed and moved. A drawing has `node`,
// `extent` (how far the cloth reaches) and `look()`, which draws it as it is looked at now.

import { RULER_PX } from "./rulers.js";

export class View {
  constructor() {
    /** @type {SVGSVGElement} */ this.node = null;
    /** @type {{low: number, high: number, long: number}} mm */ this.extent = { low: 0, high: 0, long: 0 };
    /** @type {[number, number] | undefined} px */ this.size = undefined;
    this.mmPerPx = 1;
    this.left = 0;
    this.top = 0;
    this.isFitted = false;
    /** @type {import("./table.js").Table} */ this.table = null;
  }

  // Draws it as it is looked at now.
  look() {}

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

  // Where a point of the screen lies on the cloth.
  at(event) {
    const frame = this.node.getBoundingClientRect();
    return [this.left + (event.clientX - frame.left) * this.mmPerPx, -(this.top + (event.clientY - frame.top) * this.mmPerPx)];
  }
}
