// Following a job: its state twice a second for as long as it runs; and its best plan so far.

import { ask } from "./ask.js";

const PAUSE_MS = 400;

export class Job extends EventTarget {
  // "news" comes with every change, `detail` is the state; "over" once, when it is done or failed.
  constructor(key) {
    super();
    this.key = key;
    this.state = null;
  }

  get path() {
    return `/api/jobs/${encodeURIComponent(this.key)}`;
  }

  async follow() {
    let news = -1;
    for (;;) {
      const state = await ask(this.path);
      this.state = state;
      if (state.news !== news) {
        news = state.news;
        this.dispatchEvent(new CustomEvent("news", { detail: state }));
      }
      if (state.state === "done" || state.state === "failed") break;
      this.dispatchEvent(new CustomEvent("tick", { detail: state }));
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
    }
    this.dispatchEvent(new CustomEvent("over", { detail: this.state }));
  }

  plan() { return ask(`${this.path}/plan`); }
  lays() { return ask(`${this.path}/lays`); }
  order() { return ask(`${this.path}/order`); }
  stop() { return ask(`${this.path}/stop`, {}); }
  question(task, body) { return ask(`${this.path}/ask/${task}`, body); }

  async again(task, body) {
    await ask(`${this.path}/do/${task}`, body);
    await this.follow();
  }
}

// The one job of the plan page, shared by every module that imports this.
const place = document.querySelector("[data-job]");
export const job = place ? new Job(place.dataset.job) : null;
