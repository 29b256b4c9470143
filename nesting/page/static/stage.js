// One step at a time, large enough to read from where the scissors are: keys, swipe and big buttons.

import { button, h } from "./dom.js";
import { profile } from "./sketches.js";
import { stepPicture } from "./steppicture.js";

const SWIPE_PX = 60;

export class Stage {
  // `cloths` have an `entry` each, as the server gives it, and its `steps`.
  constructor(cloths, ticks) {
    this.cloths = cloths;
    this.ticks = ticks;
    this.cloth = 0;
    this.at = 0;
    this.chooser = h("select", { "aria-label": "cloth", onchange: () => this.choose(Number(this.chooser.value)) });
    this.count = h("p", { class: "stage-count" });
    this.picture = h("div", { class: "stage-picture" });
    this.words = h("p", { class: "stage-words", role: "status" });
    this.back = button("Back", () => this.go(-1), { "aria-keyshortcuts": "ArrowLeft" });
    this.next = button("Done, next", () => this.done(), { class: "main", "aria-keyshortcuts": "ArrowRight Space" });
    this.node = h("section", { class: "stage", "aria-label": "This step", tabindex: "-1" },
      this.count, this.picture, this.words, h("div", { class: "stage-go" }, this.back, this.next));
    this.listen();
    ticks.addEventListener("change", () => this.show());
    this.choose(Math.max(0, cloths.findIndex(({ steps }) => steps.some((one) => !ticks.has(one.name)))));
    stayAwake();
  }

  get steps() { return this.cloths[this.cloth].steps; }

  // A cloth begins at its first step that is not done.
  choose(cloth) {
    this.cloth = cloth;
    const open = this.steps.findIndex((one) => !this.ticks.has(one.name));
    this.at = open < 0 ? this.steps.length : open;
    this.show();
  }

  go(by) {
    this.at = Math.min(this.steps.length, Math.max(0, this.at + by));
    this.show();
  }

  // Ticks this step and goes on; past the last one, to the next cloth.
  done() {
    const one = this.steps[this.at];
    if (one) {
      this.at += 1;
      this.ticks.set(one.name, true);
    } else if (this.cloth + 1 < this.cloths.length) {
      this.choose(this.cloth + 1);
    }
  }

  show() {
    const { entry } = this.cloths[this.cloth];
    const doneOf = ({ steps }) => steps.filter((one) => this.ticks.has(one.name)).length;
    this.chooser.replaceChildren(...this.cloths.map((one, index) =>
      h("option", { value: index, selected: index === this.cloth }, `${one.entry.title}: ${doneOf(one)} of ${one.steps.length} done`)));
    this.chooser.value = String(this.cloth);
    const one = this.steps[this.at];
    const bar = h("span", {});
    bar.style.width = `${(100 * doneOf(this.cloths[this.cloth])) / this.steps.length}%`;
    this.count.replaceChildren(one ? `Step ${this.at + 1} of ${this.steps.length}` : entry.title, h("span", { class: "stage-bar", "aria-hidden": "true" }, bar));
    this.back.disabled = this.at === 0;
    const last = this.cloth + 1 >= this.cloths.length;
    this.next.textContent = one ? "Done, next" : last ? "All is cut" : `On to ${this.cloths[this.cloth + 1].entry.title}`;
    this.next.disabled = !one && last;
    if (!one) {
      this.words.replaceChildren(h("span", { class: "stage-done" }, `✓ All of ${entry.title} is done.`));
      this.picture.replaceChildren(stepPicture(entry, null, "stage-marker"));
      return;
    }
    const already = this.ticks.has(one.name) ? h("span", { class: "stage-done" }, " ✓ done") : "";
    this.words.replaceChildren(...(one.number ? [h("strong", {}, `${one.number}. `)] : []), one.words, already);
    this.picture.replaceChildren(one.fold ? profile(entry.lay) : stepPicture(entry, one.step, "stage-marker"));
  }

  listen() {
    document.addEventListener("keydown", (/** @type {any} */ event) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.("input, select, textarea, .cut-cloth")) return;
      if (event.key === " " && event.target.closest?.("button, summary, a")) return;
      const act = { ArrowRight: () => this.done(), " ": () => this.done(), PageDown: () => this.go(1), ArrowLeft: () => this.go(-1), PageUp: () => this.go(-1) }[event.key];
      if (!act) return;
      event.preventDefault();
      act();
    });
    let from = null;
    this.node.addEventListener("touchstart", ({ touches }) => { from = touches.length === 1 ? [touches[0].clientX, touches[0].clientY] : null; }, { passive: true });
    this.node.addEventListener("touchend", ({ changedTouches: [end] }) => {
      if (!from) return;
      const [dx, dy] = [end.clientX - from[0], end.clientY - from[1]];
      from = null;
      if (Math.abs(dx) < SWIPE_PX || Math.abs(dx) < 2 * Math.abs(dy)) return;
      if (dx < 0) this.go(1);
      else this.go(-1);
    });
  }
}

// A screen that goes dark on the table wants clean fingers: it is kept awake where the browser can.
function stayAwake() {
  const ask = () => { if (document.visibilityState === "visible") navigator.wakeLock?.request("screen").catch(() => {}); };
  document.addEventListener("visibilitychange", ask);
  ask();
}
