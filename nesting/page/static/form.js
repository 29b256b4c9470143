// The form of an order: built anew when its shape changes, else only its values move.

import { clothCard, newCloth } from "./cloths.js";
import { canAddCosting, costingCards, costingShape, newCosting } from "./costing.js";
import { all, button, byId, h } from "./dom.js";
import { choiceField, lengthField, textField } from "./fields.js";
import { showIndex } from "./index.js";
import { askedNotions, newNotion, notionCards } from "./notions.js";
import { drawParts, takeNext } from "./parts.js";
import { faultPlace, forget, showAll } from "./places.js";
import { onceReleased } from "./pressing.js";
import { readyButtons, readyCards } from "./ready.js";
import { allRows, begin, showRows, unfoldFor } from "./rows.js";
import { store } from "./store.js";
import { isTyping } from "./typing.js";
import { newWearer, wearerCard } from "./wearers.js";
import { bookField, bookShape } from "./wearersbook.js";

const form = byId("form");
let built = "";
let places = [];
let notes = [];

// What the form is made of.
function structure(catalogue) {
  const table = store.table;
  return JSON.stringify([
    store.unit, Object.entries(table.fabric ?? {}).map(([name, one]) =>
      [name, (one.in_hand ?? []).map((piece) => (typeof piece === "object" ? flawsIn(piece) : "length")),
        (one.lays ?? []).length, flawsIn(one), Boolean(one.repeat || one.border)]),
    (table.garment ?? []).map((one) => [one.name, one.part ?? []]),
    table.piece ?? [], (table.seam ?? []).length, (table.notion ?? []).map((one) => one.name),
    Object.keys(store.drawings), costingShape(), bookShape(catalogue), table.wearers,
  ]);
}

const flawsIn = ({ flaws = [] }) => flaws.map((one) => [one.across?.length, one.outline?.length]);

function build(catalogue) {
  const open = new Set(all("details[open]:not(.folds)", form).map((one) => one.dataset.key));
  open.add(takeNext());
  const again = focusKept();
  forget();
  begin(inside);
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
        lengthField(["hem_allowance"], { label: "hem allowance", hint: "likewise", absent: 25 }),
        catalogue.books.length || table.wearers ? bookField(catalogue) : null)),
    faultPlace([]),
    section("Cloths", "cloths", cloths, "No cloth yet. Name it as the shop does, and give its full width.",
      button("Add a cloth", newCloth, { class: "add" })),
    section("Wearers", "wearers", wearers, "Nobody yet. A size is enough to begin with; measures make it fit.",
      button("Add a wearer", newWearer, { class: "add" })),
    section("Ready pieces", "ready", readyCards(places), "None yet.", readyButtons()),
    section("Besides cloth", "notions", [...notionCards(), ...costingCards(catalogue)], "",
      [button("Add a notion", newNotion, { class: "add" }), canAddCosting() ? button("Add a quote", newCosting, { class: "add" }) : null], askedNotions(notes)));
  for (const one of all("details:not(.folds)", form)) one.open = open.has(one.dataset.key);
  again();
}

// A card has been opened for the first time.
function inside() {
  showAll();
  for (const note of notes) note();
  drawParts(places);
}

// Whoever works by keys stays at the same control when the form is built anew, with what was typed.
function focusKept() {
  const at = /** @type {any} */ (document.activeElement);
  if (!form.contains(at)) return () => {};
  const nameOf = (one) => one.dataset.path ?? one.getAttribute("aria-label") ?? one.labels?.[0]?.textContent ?? one.textContent;
  const name = nameOf(at);
  const alike = () => all(at.tagName, form).filter((one) => nameOf(one) === name);
  const index = alike().indexOf(at);
  const typed = isTyping(at) ? [at.value, at.selectionStart] : null;
  if (typed) at.value = at.dataset.committed; // or the browser tells of a change as the field goes
  return () => {
    const there = alike()[index] ?? alike().at(-1);
    there?.focus();
    if (!there || !typed) return;
    [there.value] = typed;
    there.setSelectionRange(typed[1], typed[1]);
  };
}

function section(title, kind, cards, empty, add, asked = null) {
  return h("section", { class: kind, "aria-labelledby": `${kind}-title` },
    h("div", { class: "section-head" }, h("h2", { id: `${kind}-title` }, title), cards.length ? null : h("p", { class: "empty" }, empty), add, asked),
    h("div", { class: "cards-of" }, cards));
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

export const showForm = (catalogue) => onceReleased(() => show(catalogue));

function show(catalogue) {
  const usable = Boolean(store.seen?.table);
  document.body.classList.toggle("has-order", store.open);
  form.inert = !usable;
  if (!usable || !catalogue) return;
  const now = structure(catalogue);
  if (now !== built) {
    build(catalogue);
    built = now;
  }
  for (const fault of store.seen.faults) unfoldFor(fault.path);
  showAll();
  showRows();
  showIndex();
  for (const note of notes) note();
  drawParts(places);
}

// On paper all stands that is filled in; what is folded away opens for the time of printing.
let opened = [];
window.addEventListener("beforeprint", () => {
  const folded = allRows().filter((row) => !row.details.open);
  for (const row of folded) row.unfold();
  const says = (control) => (control.type === "checkbox" ? control.checked : control.value.trim() !== "");
  opened = all("details:not([open]):not(.part)", form)
    .filter((one) => !one.closest(".part") && [...one.querySelectorAll(".field input")].some(says));
  for (const one of opened) one.open = true;
  opened.push(...folded.map((row) => row.details));
});
window.addEventListener("afterprint", () => { for (const one of opened) one.open = false; });
