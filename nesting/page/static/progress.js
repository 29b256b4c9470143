// How far a search is: a tape that runs out, the time left, and a way to stop when content.

import { button, h } from "./dom.js";
import { job } from "./job.js";

export function timeLeft(state) {
  const left = Math.max(0, (state.budget ?? 0) * (1 - state.spent));
  return left >= 1 ? `about ${Math.ceil(left)} seconds left` : "nearly done";
}

export class Progress {
  constructor(label, first) {
    this.first = first;
    this.told = h("p", { class: "told", role: "status" });
    this.tape = h("div", { class: "tape", role: "progressbar", "aria-label": `Time to ${label}`,
      "aria-valuemin": 0, "aria-valuemax": 100, "aria-valuenow": 0 }, h("div", { class: "tape-run" }));
    this.stop = button("Stop here: good enough", async () => {
      this.stop.disabled = true;
      await job.stop().catch(() => {});
    }, { class: "stop" });
    this.node = h("div", { class: "going", hidden: true }, this.tape, this.told, this.stop);
  }

  tell(state) {
    const running = state.state === "running";
    const percent = Math.round(100 * state.spent);
    this.node.hidden = false;
    this.tape.setAttribute("aria-valuenow", percent);
    this.tape.firstChild.style.width = `${percent}%`;
    this.tape.hidden = !running && state.state !== "waiting";
    const searching = running && state.spent < 1;
    if (this.stop.hidden) this.stop.disabled = false; // another search
    this.stop.hidden = !searching;
    if (state.state === "waiting") this.told.textContent = "Waiting for the order before this one.";
    else if (searching && !state.at) this.told.textContent = this.first;
    else if (searching) this.told.textContent = `${timeLeft(state)}; now ${state.at}`;
    else this.told.textContent = running ? "Drawing the plans." : "";
  }

  // Nothing is lost by it: what is asked again is told when it is answered.
  lost(refused) {
    this.node.hidden = false;
    this.told.textContent = `${refused.message || "The page's own program failed."} Asking again.`;
  }

  hide() { this.node.hidden = true; }
}
