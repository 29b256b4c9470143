// The order on one page.

import { ask, steadily } from "./ask.js";
import { catalogue as fetchCatalogue } from "./catalogue.js";
import { clothCard, newCloth } from "./cloths.js";
import { button, h, piecesOf } from "./dom.js";
import { choiceField, doubtPlace, forget, lengthField, nearest, showAll, textField } from "./fields.js";
import { bring } from "./drawings.js";
import { inWords } from "./faults.js";
import { bindFile, download } from "./file.js";
import { askedNotions, newNotion, notionCards } from "./notions.js";
import { drawParts, takeNext } from "./parts.js";
import { byDrawing, readyButtons, readyCards } from "./ready.js";
import { store } from "./store.js";
import { newWearer, wearerCard } from "./wearers.js";

const form = document.getElementById("form");
const status = document.getElementById("status");
const faultList = document.getElementById("fault-list");
const planButton = document.getElementById("plan");
const undoButton = document.getElementById("undo");
let catalogue = null;
let built = "";
let places = [];
let notes = [];

const blank = (unit) => `name = "new order"
units = "${unit}"
seam_allowance = ${unit === "in" ? "0.375" : "1"}
hem_allowance = ${unit === "in" ? "1" : "2.5"}
`;

// What the form is made of; when it changes, the form is built anew, else only its values move.
function structure() {
  const table = store.table;
  return JSON.stringify([
    store.unit, Object.entries(table.fabric ?? {}).map(([name, one]) =>
      [name, (one.in_hand ?? []).map((piece) => (typeof piece === "object" ? flawsIn(piece) : "length")),
        (one.lays ?? []).length, flawsIn(one), Boolean(one.repeat || one.border)]),
    (table.garment ?? []).map((one) => [one.name, one.part ?? []]),
    table.piece ?? [], (table.notion ?? []).map((one) => one.name),
    Object.keys(store.drawings),
  ]);
}

const flawsIn = ({ flaws = [] }) => flaws.map((one) => [one.across?.length, one.outline?.length]);

function build() {
  const open = new Set([...form.querySelectorAll("details[open]")].map((one) => one.dataset.key));
  open.add(takeNext());
  const again = focusKept();
  forget();
  places = [];
  notes = [];
  const table = store.table;
  const wearers = (table.garment ?? []).map((_, index) => wearerCard(index, catalogue, places, notes));
  const cloths = Object.keys(table.fabric ?? {}).map((name) => clothCard(name, catalogue));
  form.replaceChildren(
    h("section", { class: "sheet whole", "aria-label": "The order" },
      h("div", { class: "grid" },
        textField(["name"], { label: "order" }),
        units(),
        lengthField(["seam_allowance"], { label: "seam allowance", hint: "for every part that has none of its own", absent: 10 }),
        lengthField(["hem_allowance"], { label: "hem allowance", hint: "likewise", absent: 25 }))),
    section("Cloths", "cloths", cloths, button("Add a cloth", newCloth, { class: "add big" })),
    section("Wearers", "wearers", wearers, button("Add a wearer", newWearer, { class: "add big" })),
    section("Ready pieces", "ready", readyCards(places), readyButtons()),
    section("Besides cloth", "notions", [askedNotions(notes), ...notionCards()], button("Add a notion", newNotion, { class: "add big" })),
    doubtPlace([]));
  for (const one of form.querySelectorAll("details")) one.open = open.has(one.dataset.key);
  again();
}

// Whoever works by keys stays at the same control when the form is built anew.
function focusKept() {
  const at = document.activeElement;
  if (!form.contains(at)) return () => {};
  const nameOf = (one) => one.dataset.path ?? one.getAttribute("aria-label") ?? one.labels?.[0]?.textContent ?? one.textContent;
  const name = nameOf(at);
  const alike = () => [...form.querySelectorAll(at.tagName)].filter((one) => nameOf(one) === name);
  const index = alike().indexOf(at);
  return () => (alike()[index] ?? alike().at(-1))?.focus();
}

function section(title, kind, cards, add) {
  return h("section", { class: kind, "aria-labelledby": `${kind}-title` },
    h("h2", { id: `${kind}-title` }, title), h("div", { class: "sheets" }, cards), add);
}

// Bare numbers keep their meaning: they are given the unit that they had.
function units() {
  return choiceField(["units"], {
    label: "my unit",
    choices: [["cm", "centimetres"], ["in", "inches"], ["mm", "millimetres"]],
    hint: "of numbers without a unit; 1 1/2 in, 2.25 m or 1 3/8 yd can always be written",
    keep: true,
    commit: (value) => store.edit({ do: "units", value }),
  });
}

function refresh() {
  const usable = Boolean(store.seen?.table);
  document.body.classList.toggle("has-order", store.open);
  form.inert = !usable;
  if (usable && catalogue) {
    const now = structure();
    if (now !== built) {
      build();
      built = now;
    }
    showAll();
    notes.forEach((note) => note());
    drawParts(places);
  }
  tell();
}

function tell() {
  const faults = store.seen?.faults ?? [];
  undoButton.disabled = !store.past.length;
  planButton.disabled = !store.open || faults.length > 0;
  elsewhere.hidden = !store.other;
  const keeps = store.kept === false ? "Too large for the browser to keep: download the file." : "Kept in this browser.";
  document.getElementById("kept").textContent = store.other ? "Not kept: see above." : keeps;
  if (store.failure) status.textContent = store.failure;
  else if (!store.open) status.textContent = "";
  else if (faults.length) status.textContent = faults.length === 1 ? "One thing to put right:" : `${faults.length} things to put right:`;
  else status.textContent = `${piecesOf(store.seen.pieces)} to cut.`;
  faultList.replaceChildren(...faults.map((fault) => {
    const place = nearest(fault.path);
    const head = place ? headOf(place.node, fault.path) : fault.key;
    const words = (head ? `${head}: ` : "") + inWords(fault);
    return h("li", {}, place ? button(words, () => place.focus(), { class: "plain" }) : words);
  }));
}

// Whose field it is, as the form calls it: "Maren, 3 waist".
function headOf(node, path) {
  const field = node.querySelector("label, legend")?.textContent ?? node.querySelector("input")?.getAttribute("aria-label");
  const card = path[0] === "garment" || path[0] === "fabric" || path[0] === "piece" || path[0] === "notion"
    ? node.closest("article")?.getAttribute("aria-label") : null;
  return [card, node.classList.contains("faults") ? null : field].filter(Boolean).join(", ");
}

// A new plan takes the place of one that this tab asked for before and left.
function pageId() {
  try {
    const id = sessionStorage.getItem("metrage-page") ?? `${Date.now()}-${Math.random()}`;
    sessionStorage.setItem("metrage-page", id);
    return id;
  } catch {
    return ""; // the browser keeps nothing
  }
}

async function plan() {
  await store.queue;
  if (planButton.disabled) return;
  planButton.disabled = true;
  status.textContent = "Sending the order.";
  try {
    const seconds = Number(document.getElementById("seconds").value);
    const body = { order: store.seen.order, drawings: store.drawings, seconds, page: pageId() };
    const { key } = await ask("/api/jobs", body);
    location.assign(`/plan/${key}`);
  } catch (why) {
    refused(why);
    planButton.disabled = false;
  }
}

// Whoever waits longer than a moment is told so; right after the start the program still loads.
const waits = document.getElementById("wait");
let waiting = 0;
function busy() {
  document.body.classList.add("busy");
  clearTimeout(waiting);
  waiting = setTimeout(() => { waits.textContent = "One moment: the order is being read."; }, 700);
}
function rested() {
  document.body.classList.remove("busy");
  clearTimeout(waiting);
  waits.textContent = "";
}
function refused({ message }) {
  status.textContent = message;
  waits.textContent = message;
}

const american = /^en-(US|LR)|^my/.test(navigator.language);
const actions = {
  example: async () => store.load((await ask("/api/example")).order),
  fresh: () => store.load(blank(american ? "in" : "cm")),
  download: () => download(store),
  undo: () => store.undo(),
};
for (const [name, act] of Object.entries(actions)) {
  for (const one of document.querySelectorAll(`[data-act="${name}"]`)) {
    one.addEventListener("click", async () => {
      busy();
      await act().catch(refused);
      rested();
    });
  }
}
undoButton.addEventListener("click", actions.undo);
const elsewhere = document.getElementById("elsewhere");
elsewhere.append(button("Take that one here", () => store.takeOther()), button("Keep this one", () => store.keepOwn()));
planButton.addEventListener("click", plan);
store.addEventListener("busy", busy);
store.addEventListener("change", () => {
  rested();
  refresh();
});
bindFile(store, (file) => bring(file, byDrawing));

// On paper all stands that is filled in; what is folded away opens for the time of printing.
let opened = [];
window.addEventListener("beforeprint", () => {
  const says = (control) => (control.type === "checkbox" ? control.checked : control.value.trim() !== "");
  opened = [...form.querySelectorAll("details:not([open]):not(.part)")]
    .filter((one) => !one.closest(".part") && [...one.querySelectorAll(".field input")].some(says));
  for (const one of opened) one.open = true;
});
window.addEventListener("afterprint", () => { for (const one of opened) one.open = false; });

store.begin();
steadily(fetchCatalogue, refused).then((found) => {
  catalogue = found;
  refresh();
}, refused);
