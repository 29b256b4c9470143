// A layout under the hand: what can be done to it, and what the server says of that.

import { surround } from "./bench.js";
import { Board } from "./board.js";
import { byId, h, piecesOf } from "./dom.js";
import { follow } from "./hands.js";
import { job } from "./job.js";
import { keepHands, keptHands } from "./kept.js";
import { Moves } from "./moves.js";
import { Progress } from "./progress.js";
import { Table, keyOf } from "./table.js";

const place = byId("layout");

export class Desk extends Moves {
  constructor(data, before) {
    super();
    this.table = new Table(data);
    if (before && before.table.data.title === data.title) this.table.follow(before.table);
    else this.table.bring(keptHands(job.key, this.table));
    this.seconds = before?.seconds ?? 10;
    this.asked = 0;
    this.dirty = false;
    this.busy = false;
    this.note = before?.made ? " The drawings and lists below are of this layout now." : "";
    const moved = this.table.now > 0 && !before;
    this.build();
    this.told(null);
    this.check(null).then(() => {
      this.dirty = moved;
      this.note = "";
      this.refresh();
    });
  }

  // The board and what stands round it; anew when the parts are others than before.
  build() {
    this.board = new Board(this.table, { label: `Layout of ${this.table.data.title}: ${piecesOf(this.table.parts.length)}, ${this.table.data.lay}` });
    this.progress = new Progress("search for the rest", "Looking at the layout.");
    ({ buttons: this.buttons, figures: this.figures, verdict: this.verdict, about: this.about, list: this.list, items: this.items } = surround(this, place));
    follow(this.board, this);
    this.refresh();
  }

  // ---- what the server does ----

  // From the folded part of the cloth into the part that lies opened out, or back.
  async changeOver() {
    const part = this.chosen;
    if (!part || !this.table.data.changes_over) return;
    const asked = { cloth: this.table.data.title, spots: this.table.spots, which: part.which };
    const { layout, refused } = await job.question("change-over", asked).catch((why) => ({ refused: why.message }));
    if (refused) {
      this.say(refused);
      return;
    }
    const before = part.section;
    this.table.change(layout);
    const [garment, piece] = part.which;
    const there = this.table.parts.filter((one) => one.which[0] === garment && one.which[1] === piece && one.section !== before);
    this.rebuild(there.at(-1)?.which);
    await this.check(null);
  }

  /** @param {any} [which] */
  rebuild(which) {
    this.chosen = which ? this.table.parts.find((part) => part.key === keyOf(which)) ?? null : null;
    this.build();
    this.board.node.focus({ preventScroll: true });
  }

  async check(moved) {
    this.dirty = true;
    this.good = false;
    const number = (this.asked += 1);
    this.refresh();
    let answer;
    try {
      answer = await job.question("check", { cloth: this.table.data.title, spots: this.table.spots, moved: moved?.which ?? null });
    } catch (refused) {
      if (number === this.asked) this.told({ findings: refused.faults.map((one) => one.message).concat(refused.faults.length ? [] : refused.message) });
      return;
    }
    if (number !== this.asked) return; // something else was moved meanwhile
    if (moved && answer.moved) {
      const [x, y] = answer.moved;
      if (Math.hypot(x - moved.x, y - moved.y) > 1e-9) {
        [moved.x, moved.y] = [x, y];
        moved.place();
        this.board.place(moved);
        this.table.amend();
      }
    }
    this.told(answer);
    this.board.grow();
    this.refresh();
  }

  told(answer) {
    if (!answer) {
      this.verdict.replaceChildren(h("p", { class: "fine" }, "✓ This layout is checked and can be cut."));
      this.verdict.dataset.good = "yes";
      this.figures.textContent = `${this.table.data.told.table} on the table`;
      return;
    }
    const good = answer.findings.length === 0;
    this.verdict.dataset.good = good ? "yes" : "no";
    this.verdict.replaceChildren(good
      ? h("p", { class: "fine" }, `✓ Checked: this can be cut.${this.note}`)
      : h("details", { class: "wrong", open: answer.findings.length < 4 },
        h("summary", {}, `✕ This can't be cut yet: ${answer.findings.length === 1 ? "one thing is" : `${answer.findings.length} things are`} in the way`),
        h("ul", {}, answer.findings.map((words) => h("li", {}, words)))));
    if (answer.length_mm !== undefined) this.comesTo(answer, good ? "" : "as it lies, ");
    this.good = good;
    this.refresh();
  }

  comesTo(answer, how) {
    const cost = answer.told.cost ? `, ${answer.told.cost}` : "";
    this.figures.replaceChildren(h("strong", {}, answer.told.table),
      ` on the table; ${how}${answer.told.asks}${cost}; ${answer.waste_percent.toFixed(0)} % waste`);
  }

  async finishRound() {
    const words = this.table.pins.length ? "Laying the rest round the pinned pieces." : "Searching on from how it lies now.";
    await this.run("finish-round", { spots: this.table.spots, pinned: this.table.pins, seconds: this.seconds }, words);
  }

  keep() {
    return this.run("keep", { spots: this.table.spots }, "Keeping it, and drawing the plans.");
  }

  async run(task, body, words) {
    this.say(words);
    this.made = true; // what comes of it is a new plan
    this.wait(true);
    const off = job.on(["news", "tick"], (state) => this.watch(state));
    try {
      await job.again(task, { cloth: this.table.data.title, ...body });
      if (job.state.state === "failed") this.failed(job.state);
    } catch (refused) {
      this.say(refused.message);
    }
    off();
    this.wait(false);
  }

  failed(state) {
    this.made = false;
    this.table.go(0);
    for (const part of this.table.parts) this.board.shape(part);
    this.refresh();
    const faults = state.faults.map((one) => [one.message, one.remedy].filter(Boolean).join(" "));
    this.told({ findings: faults.length ? faults : [state.message || "It broke off. The layout is as it was."] });
  }

  wait(busy) {
    this.busy = busy;
    place.setAttribute("aria-busy", String(busy));
    for (const part of [...place.children, byId("lays"), byId("pieces")]) if (part !== this.progress.node) part.inert = busy;
    if (!busy) this.progress.hide();
    if (!busy) this.board.node.focus({ preventScroll: true });
  }

  // A layout on its way, as planning shows it: the pieces where they are by now, and what it comes to.
  watch(state) {
    this.progress.tell(state);
    const { live } = state;
    if (!live || live.title !== this.table.data.title || live === this.live) return;
    this.live = live;
    this.table.show(live.spots);
    for (const part of this.table.parts) this.board.shape(part);
    this.board.mark(null, []);
    this.board.showEnd();
    this.board.grow();
    this.comesTo(live, "so far ");
  }
}
