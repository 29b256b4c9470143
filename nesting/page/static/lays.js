// The lays and widths of a cloth side by side, as small pictures with what each comes to; pick one.

import { button, h, newId } from "./dom.js";
import { job } from "./job.js";
import { liesAs, smallMarker } from "./marker.js";
import { timeLeft } from "./progress.js";
import { numbersOf } from "./weaves.js";

const place = document.getElementById("lays");
const told = h("p", { role: "status" });
let lays = {};
let plan = null;

const isChosen = (cloth, lay) => lay.lay === cloth.lay && lay.width_mm === cloth.width_mm
  && Math.abs(lay.length_mm - cloth.length_mm) < 0.01;

const capital = (words) => words[0].toUpperCase() + words.slice(1);

async function again(task, body, words) {
  told.textContent = words;
  place.inert = true;
  const off = job.on(["news", "tick"], (detail) => {
    if (detail.state === "running" && detail.budget && detail.spent < 1) told.textContent = `${words} ${capital(timeLeft(detail))}.`;
  });
  try {
    await job.again(task, body);
    told.textContent = job.state.state === "failed"
      ? job.state.faults.map((one) => `${one.message} ${one.remedy}`).join(" ") || job.state.message : "";
  } catch (refused) {
    told.textContent = refused.message;
  }
  off();
  place.inert = false;
}

function layCard(cloth, lay, number, { least, longest, fewest, numbers }) {
  const why = lay.cut_outlines === fewest ? "the fewest outlines to cut" : "";
  const chosen = isChosen(cloth, lay);
  const words = liesAs(lay);
  const notes = [
    ...(why ? [why] : []),
    `${lay.cut_outlines} ${lay.cut_outlines === 1 ? "outline" : "outlines"}, ${lay.told.cutting} to cut`,
    `${lay.waste_percent.toFixed(0)} % waste`,
    ...(lay.joins ? [`${lay.joins} ${lay.joins === 1 ? "join" : "joins"} in strips`] : []),
  ];
  return h("li", { class: `sheet lay${chosen ? " chosen" : ""}` },
    h("h4", {}, words),
    smallMarker(lay, numbers, { longest, label: `${cloth.title}, ${words}, ${lay.told.width} wide` }),
    h("p", { class: "lead" }, lay.told.buy === null ? `takes ${lay.told.used}` : `buy ${lay.told.buy}`,
      lay.told.cost ? `, ${lay.told.cost}` : "",
      lay.purchase_mm === least ? h("span", { class: "badge" }, "the least cloth") : null),
    h("p", { class: "hint" }, notes.join("; ")),
    chosen ? h("p", { class: "taken" }, "✓ this plan", h("span", { class: "moved-since" }, ", but moved by hand since")) : button("Take this one",
      () => again("pick", { cloth: cloth.title, number }, "Taking it, and drawing the plans."),
      { "aria-label": `Take this one: ${words}, ${lay.told.width} wide` }));
}

// A layout that a hand, or a longer search, has made since: none of the lays as they were found.
function byHand(cloth) {
  return h("ul", { class: "lay-list" }, h("li", { class: "sheet lay chosen made-since" },
    h("h4", {}, `${liesAs(cloth)}, as you made it`),
    h("p", { class: "lead" }, `buy ${cloth.told.buy}`, cloth.told.cost ? `, ${cloth.told.cost}` : ""),
    h("p", { class: "hint" }, `takes ${cloth.told.used}; ${cloth.waste_percent.toFixed(0)} % waste`),
    h("p", { class: "taken" }, "✓ this plan")));
}

// Lays that this cloth can't have, each with the reason.
function notTried(name) {
  const reasons = plan.notes.refused[name];
  return reasons?.length ? h("details", { class: "not-lays" },
    h("summary", {}, reasons.length === 1 ? "One lay was not tried" : `${reasons.length} lays were not tried`),
    h("ul", {}, reasons.map((one) => h("li", {}, one)))) : null;
}

function widthForm(cloth) {
  const id = newId("widths");
  const control = h("input", { id, type: "text", autocomplete: "off", placeholder: job.unit === "in" ? "45, 60" : "115, 140" });
  const send = (event) => {
    event.preventDefault();
    const widths = control.value.split(/[;,]\s+|;|\n/).map((one) => one.trim()).filter(Boolean);
    if (widths.length) again("widths", { cloth: cloth.title, widths, seconds: 10 }, "Laying it out at other widths.");
  };
  return h("form", { class: "widths", onsubmit: send },
    h("label", { for: id }, `the shop has ${cloth.title} at other widths:`), control,
    h("button", { type: "submit" }, "Try them"),
    h("p", { class: "hint" }, "Strips are cut for each width, other pieces stay as drafted; the price is taken as that of the order."));
}

function show() {
  const cloth = plan?.fabrics.find((one) => one.title === job.cloth);
  if (!cloth || !lays[cloth.title]) return place.replaceChildren();
  const all = lays[cloth.title].map((lay, number) => ({ lay, number }));
  const widths = [...new Set(all.map(({ lay }) => lay.width_mm))].sort((a, b) => a - b);
  const own = all.some(({ lay }) => isChosen(cloth, lay)) ? null : byHand(cloth);
  const least = Math.min(...all.map(({ lay }) => lay.purchase_mm), cloth.purchase.length_mm || Infinity);
  const longest = Math.max(...all.map(({ lay }) => lay.table_length_mm));
  const fewest = Math.min(...all.map(({ lay }) => lay.cut_outlines));
  const numbers = numbersOf(plan.pieces.map((piece) => piece.garment));
  const known = { least, longest, fewest, numbers };
  const rows = widths.map((width) => [
    h("h3", {}, `${all.find(({ lay }) => lay.width_mm === width).lay.told.width} wide`),
    h("ul", { class: "lay-list" }, all.filter(({ lay }) => lay.width_mm === width)
      .sort((a, b) => a.lay.purchase_mm - b.lay.purchase_mm || a.lay.cut_outlines - b.lay.cut_outlines)
      .map(({ lay, number }) => layCard(cloth, lay, number, known))),
  ]);
  return place.replaceChildren(
    h("details", { class: "lays-side", open: true },
      h("summary", {}, h("h2", {}, `Ways to lay the ${cloth.title}`)),
      h("p", { class: "hint" }, "Thick lines are folds. Cutting open never takes more cloth than folding, but more cuts."),
      told, own, rows.flat(), notTried(cloth.name), cloth.in_hand ? null : widthForm(cloth)));
}

job.on(["over"], async (detail) => {
  if (detail.state !== "done" && !plan) return;
  try {
    [plan, lays] = await Promise.all([job.plan(), job.lays()]);
  } catch {
    return; // it is not there any more, which the page tells
  }
  show();
});
job.on(["cloth"], show);
