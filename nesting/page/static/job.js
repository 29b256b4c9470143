// Following a job: its state twice a second for as long as it runs, and more often at first; and its best plan so far.
// Events: "news" with every change and "tick" meanwhile, `detail` the state; "over" when it is done
// or failed; "silent" when the program does not answer, which is asked again; "cloth" when another cloth of the plan is looked at.

import { ask, steadily } from "./ask.js";

const PAUSE_MS = 400;
const FIRST_PAUSE_MS = 120;

export class Job extends EventTarget {
  constructor(key) {
    super();
    this.key = key;
    /** @type {any} */ this.state = null;
    /** @type {string | null} */ this.cloth = null;
  }

  get path() {
    return `/api/jobs/${encodeURIComponent(this.key)}`;
  }

  get unit() {
    return this.state?.unit ?? "cm";
  }

  async follow() {
    let news = -1;
    for (;;) {
      const state = await this.steadily(() => ask(this.path));
      this.state = state;
      if (state.news !== news) {
        news = state.news;
        this.dispatchEvent(new CustomEvent("news", { detail: state }));
      } else {
        this.dispatchEvent(new CustomEvent("tick", { detail: state }));
      }
      if (state.state === "done" || state.state === "failed") break;
      // Who has seen nothing yet waits for it.
      const first = state.fabrics.length < Math.max(1, state.cloths.length);
      await new Promise((resolve) => setTimeout(resolve, first ? FIRST_PAUSE_MS : PAUSE_MS));
    }
    this.dispatchEvent(new CustomEvent("over", { detail: this.state }));
  }

  // Hears news of these kinds, as `detail`; gives what ends that.
  on(kinds, hear) {
    const heard = (/** @type {any} */ { detail }) => hear(detail);
    for (const kind of kinds) this.addEventListener(kind, heard);
    return () => { for (const kind of kinds) this.removeEventListener(kind, heard); };
  }

  /** @param {() => Promise<any>} run @param {number} [tries] */
  steadily(run, tries) {
    return steadily(run, (lost) => this.dispatchEvent(new CustomEvent("silent", { detail: lost })), tries);
  }

  // The cloth that the page looks at, by its name.
  choose(cloth) {
    if (cloth === this.cloth) return;
    this.cloth = cloth;
    this.dispatchEvent(new CustomEvent("cloth", { detail: cloth }));
  }

  plan() { return this.steadily(() => ask(`${this.path}/plan`)); }
  lays() { return this.steadily(() => ask(`${this.path}/lays`)); }
  order() { return ask(`${this.path}/order`); }
  stop() { return ask(`${this.path}/stop`, {}); }
  question(task, body) { return ask(`${this.path}/ask/${task}`, body); }

  // More done to a job that is over: it runs again, and is over again.
  async again(task, body) {
    await ask(`${this.path}/do/${task}`, body);
    await this.follow();
  }
}

// The one job of the plan page, shared by every module that imports this.
const place = /** @type {HTMLElement} */ (document.querySelector("[data-job]"));
export const job = place ? new Job(place.dataset.job) : null;
