// Cutting step by step: fold the cloth like this, lay this piece here, tick it off.

import { button, h, newId, s } from "./dom.js";
import { job } from "./job.js";
import { clothOf, coloursOf } from "./marker.js";

const place = document.getElementById("cut");
const store = `metrage cut ${job.key}`;

function ticked() {
  try {
    return new Set(JSON.parse(localStorage.getItem(store) ?? "[]"));
  } catch {
    return new Set();
  }
}

function remember(done) {
  try {
    localStorage.setItem(store, JSON.stringify([...done]));
  } catch { /* a private window keeps nothing; the ticks stay while the page is open */ }
}

// The cloth seen from its end: each layer a line, each fold a bend.
const PROFILES = {
  open: { d: "M10 40H190", words: "one layer" },
  "lengthwise-fold": { d: "M190 44H22a9 9 0 0 1 0-18H190", words: "seen from the cut end: two layers, the fold on one side, both selvedges on the other" },
  "crosswise-fold": { d: "M10 44H178a9 9 0 0 0 0-18H10", words: "seen from the selvedge: two layers, the fold at one end, both cut ends at the other" },
  "double-fold": { d: "M97 26H22a9 9 0 0 0 0 18H178a9 9 0 0 0 0-18H103", words: "seen from the cut end: a fold on each side, the selvedges meet in the middle" },
  "partial-fold": { d: "M90 26H22a9 9 0 0 0 0 18H190", words: "seen from the cut end: one selvedge folded in, the rest single" },
  "quarter-fold": { d: "M190 50H22a15 15 0 0 1 0-30H190M190 44H24a9 9 0 0 1 0-18H190", words: "seen from the cut end: four layers, the long fold on one side" },
};

function profile(lay) {
  const { d, words } = PROFILES[lay];
  return h("figure", { class: "profile" },
    s("svg", { viewBox: "0 10 200 50", role: "img", "aria-label": words }, s("path", { d })),
    h("figcaption", { class: "hint" }, words));
}

const path = (outline) => `M${outline.map(([x, y]) => `${x.toFixed(0)} ${y.toFixed(0)}`).join("L")}Z`;

// The cloth as it lies, one piece dark among the pale outlines of the others.
function picture(cloth, step, colours) {
  const { shape, table_length_mm: long } = cloth;
  const { low, high, under, over, place } = clothOf(shape, long);
  const edge = Math.max(long, high - low) * 0.012;
  const others = cloth.steps.filter((one) => one !== step).map((one) => path(place(one))).join("");
  return s("svg", { class: "marker step-picture", "aria-hidden": "true", viewBox: `${-edge} ${-high - edge} ${long + 2 * edge} ${high - low + 2 * edge}` },
    s("g", { transform: "scale(1 -1)" }, under,
      s("path", { class: "others", d: others }),
      step ? s("path", { class: "piece now", d: path(place(step)), fill: colours.get(step.garment) }) : null, over));
}

function cloth(entry, colours, done) {
  const count = h("p", { class: "cut-count", role: "status" });
  const items = [];
  const tell = () => {
    const open = items.filter(({ box }) => !box.checked);
    for (const { item } of items) item.classList.remove("next");
    open[0]?.item.classList.add("next");
    count.textContent = open.length ? `${items.length - open.length} of ${items.length} done` : "✓ all of this cloth is done";
  };
  const tick = (name, words, extra) => {
    const id = newId("step");
    const box = h("input", { type: "checkbox", id, checked: done.has(name), onchange: () => {
      if (box.checked) done.add(name);
      else done.delete(name);
      remember(done);
      tell();
    } });
    const item = h("li", { class: "cut-step" }, box, h("label", { for: id }, words), extra);
    items.push({ box, item });
    return item;
  };
  const folding = entry.fold.map((words, index) => tick(`${entry.title} fold ${index}`, words, null));
  const steps = entry.steps.flatMap((step) => [
    step.before ? tick(`${entry.title} before ${step.number}`, step.before, null) : null,
    tick(`${entry.title} ${step.number}`, [h("strong", {}, `${step.number}. `), step.words], picture(entry, step, colours)),
  ]);
  tell();
  return h("section", { class: "sheet cut-cloth" },
    h("h2", {}, entry.title), count,
    h("h3", {}, "Lay the cloth"), h("div", { class: "cut-fold" }, profile(entry.lay), h("ol", { class: "cut-steps" }, folding)),
    h("h3", {}, "Lay and cut the pieces"),
    h("p", { class: "hint" }, `From the ${entry.near_end} onwards. Thick lines in the pictures are folds. Weigh or pin all of them down before the first cut.`),
    h("ol", { class: "cut-steps" }, steps),
    entry.joins.length ? [h("h3", {}, "Strips to join"), h("ul", {}, entry.joins.map((words) => h("li", {}, words)))] : null);
}

async function show() {
  await job.follow();
  if (job.state.state !== "done" && !job.state.files.length) {
    place.replaceChildren(h("h1", {}, "There is no plan to cut from yet."));
    return;
  }
  const data = await job.steadily(() => job.question("cutting", {}), 4);
  const colours = coloursOf(data.garments);
  const done = ticked();
  place.replaceChildren(
    h("h1", {}, `Cut ${data.order}`),
    h("div", { class: "cut-tools" }, button("Print", () => window.print()),
      button("Take all ticks off", () => { done.clear(); remember(done); show(); })),
    ...data.cloths.map((entry) => cloth(entry, colours, done)),
    data.cautions.length ? h("section", { class: "sheet" }, h("h2", {}, "Take care"), h("ul", {}, data.cautions.map((words) => h("li", {}, words)))) : "");
}

show().catch((refused) => place.replaceChildren(h("h1", {}, refused.message)));
