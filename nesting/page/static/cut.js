// Cutting step by step: fold the cloth like this, lay this piece here, tick it off. One step fills the
// screen; all of them stand in a list below it, and on paper.

import { button, h, newId } from "./dom.js";
import { job } from "./job.js";
import { profile } from "./sketches.js";
import { Stage } from "./stage.js";
import { stepPicture } from "./steppicture.js";
import { Ticks } from "./ticks.js";

const place = document.getElementById("cut");

// Every step of a cloth in order: first how it is laid, then each piece.
export function stepsOf(entry) {
  return [
    ...entry.fold.map((words, index) => ({ name: `${entry.title} fold ${index}`, words, step: null, fold: true })),
    ...entry.steps.flatMap((step) => [
      step.before ? { name: `${entry.title} before ${step.number}`, words: step.before, step: null, fold: false } : null,
      { name: `${entry.title} ${step.number}`, number: step.number, words: step.words, step, fold: false },
    ]),
  ].filter(Boolean);
}

function cloth(entry, ticks) {
  const steps = stepsOf(entry);
  const count = h("p", { class: "cut-count", role: "status" });
  const items = steps.map((one) => {
    const id = newId("step");
    const box = h("input", { type: "checkbox", id, onchange: () => ticks.set(one.name, box.checked) });
    const words = one.number ? [h("strong", {}, `${one.number}. `), one.words] : one.words;
    return { one, box, item: h("li", { class: "cut-step" }, box, h("label", { for: id }, words), one.step ? stepPicture(entry, one.step, "step-picture") : null) };
  });
  const tell = () => {
    for (const { one, box } of items) box.checked = ticks.has(one.name);
    const open = items.filter(({ box }) => !box.checked);
    for (const { item } of items) item.classList.toggle("next", item === open[0]?.item);
    count.textContent = open.length ? `${items.length - open.length} of ${items.length} done` : "✓ all of this cloth is done";
  };
  ticks.addEventListener("change", tell);
  tell();
  const rows = (fold) => items.filter(({ one }) => one.fold === fold).map(({ item }) => item);
  return h("section", { class: "sheet cut-cloth", "aria-label": entry.title },
    h("h2", {}, entry.title), count,
    h("h3", {}, "Lay the cloth"), h("div", { class: "cut-fold" }, profile(entry.lay), h("ol", { class: "cut-steps" }, rows(true))),
    h("h3", {}, "Lay and cut the pieces"),
    h("p", { class: "hint" }, `From the ${entry.near_end} onwards. Thick lines in the pictures are folds. Weigh or pin all of them down before the first cut.`),
    h("ol", { class: "cut-steps" }, rows(false)),
    entry.joins.length ? [h("h3", {}, "Strips to join"), h("ul", {}, entry.joins.map((words) => h("li", {}, words)))] : null);
}

// Fills the page with a plan's steps; `key` is under what its ticks are kept.
export function showCutting(data, key) {
  const care = () => h("ul", {}, data.cautions.map((words) => h("li", {}, words)));
  const ticks = new Ticks(`metrage cut ${key}`);
  const stage = new Stage(data.cloths.map((entry) => ({ entry, steps: stepsOf(entry) })), ticks);
  place.replaceChildren(
    h("h1", { class: "sr" }, `Cut ${data.order}`),
    h("div", { class: "cut-tools" }, stage.chooser, button("Print", () => window.print()),
      button("Take all ticks off", () => ticks.clear())),
    data.cautions.length ? h("details", { class: "take-care" }, h("summary", {}, "Take care"), care()) : "",
    stage.node,
    h("h2", { class: "all-steps" }, "All steps"),
    ...data.cloths.map((entry) => cloth(entry, ticks)),
    data.cautions.length ? h("section", { class: "sheet on-paper" }, h("h2", {}, "Take care"), care()) : "");
}

async function show() {
  await job.follow();
  if (job.state.state !== "done" && !job.state.files.length) {
    place.replaceChildren(h("h1", {}, "There is no plan to cut from yet."));
    return;
  }
  showCutting(await job.steadily(() => job.question("cutting", {}), 4), job.key);
}

if (job) show().catch((refused) => place.replaceChildren(h("h1", {}, refused.message)));
