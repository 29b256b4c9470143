// What work costs, and how a price is reckoned: a quote for each garment stands in the plan then.

import { button, h, newId } from "./dom.js";
import { choiceField, cloths, namesField, numberField, priceField, textField } from "./fields.js";
import { countsOf, faultPlace } from "./places.js";
import { marksOf, row, unfoldNext } from "./rows.js";
import { store } from "./store.js";

const PATH = ["costing"];
const STAGES = { cutting: 60, sewing: 240 };
const costing = () => store.table.costing;

// What its card is made of; other values only move.
export const costingShape = () => costing() && [Object.keys(costing().minutes ?? {}),
  (costing().done ?? []).map((one) => Object.keys(one?.minutes ?? {}))];

export function costingCards(catalogue) {
  if (!costing()) return [];
  return [row(PATH, { kind: "costing", name: "Work and prices", tell: told, inside: () => inside(catalogue.costing) })];
}

export function newCosting() {
  unfoldNext(PATH);
  return store.edit({ do: "set", path: PATH, value: { minutes: STAGES } });
}

export const canAddCosting = () => !costing();

function told() {
  const { rate, currency, minutes = {}, overhead, margin, tax } = costing() ?? {};
  const { faults, doubts } = countsOf(PATH);
  const numbers = Object.values(minutes).filter((one) => typeof one === "number");
  const percent = (/** @type {any} */ value, words) => (value ? `${words} ${value} %` : null);
  return {
    picture: "",
    name: "Work and prices",
    line: [rate ? `${rate} ${currency ?? ""} an hour`.replace("  ", " ") : "work costs nothing yet",
      numbers.length ? `${numbers.reduce((sum, one) => sum + one, 0)} minutes a garment` : null,
      percent(overhead, "overhead"), percent(margin, "margin"), percent(tax, "tax")].filter(Boolean).join(", "),
    side: [`${faults} ${doubts}`, () => marksOf(PATH)],
  };
}

const stagesOf = () => [...new Set([...Object.keys(costing().minutes ?? {}),
  ...(costing().done ?? []).flatMap((one) => Object.keys(one?.minutes ?? {}))])];

function inside(defaults) {
  return [
    h("div", { class: "sheet-head" },
      priceField([...PATH, "rate"], { label: "an hour of work costs", hint: "0 if it is left blank" }),
      textField([...PATH, "currency"], { label: "currency", hint: "that of the prices, if they have but one" }),
      h("div", { class: "tools" }, button("Remove", () => store.edit({ do: "take", path: PATH }), { "aria-label": "Remove the quote" }))),
    faultPlace(PATH),
    h("div", { class: "grid" },
      numberField([...PATH, "overhead"], { label: "overhead, %", hint: "added to materials and work", placeholder: "0" }),
      numberField([...PATH, "margin"], { label: "margin, %", hint: "the part of the price before tax that is profit: 25 adds a third to the cost", placeholder: "0" }),
      numberField([...PATH, "tax"], { label: "tax, %", hint: "added to the price; whether it is due, local rules decide", placeholder: "0" }),
      choiceField([...PATH, "amounts"], { label: "amounts are written", choices: defaults.amounts, absent: defaults.amounts[0] })),
    minutes(),
    own(),
    namesField([...PATH, "brought"], { label: "cloth that the client may bring", hint: "none ticked: all of it", names: cloths }),
    before(),
    h("details", { "data-key": "cutter" }, h("summary", {}, "Minutes of the cutter’s work"),
      h("p", { class: "hint" }, "They weigh the lays against each other where work has a price."),
      h("div", { class: "grid" }, Object.entries(defaults.cutter).map(([name, { label, absent }]) =>
        numberField([...PATH, "cutter", name], { label, placeholder: absent })))),
  ];
}

// Stages of the work, with a row of minutes for each garment.
function minutes() {
  const path = [...PATH, "minutes"];
  return h("section", { class: "stages", "aria-label": "Minutes of work" },
    h("h3", {}, "Minutes of work, for each garment"),
    faultPlace(path),
    h("div", { class: "grid" }, Object.keys(costing().minutes ?? {}).map((stage) => h("div", { class: "stage-of" },
      numberField([...path, stage], { label: stage }),
      button("Remove", () => store.edit({ do: "take", path: [...path, stage] }), { "aria-label": `Remove the stage ${stage}` })))),
    newStage());
}

// A stage has a name of the dresser's own.
function newStage() {
  const id = newId("stage");
  const control = h("input", { type: "text", id, autocomplete: "off" });
  const add = () => {
    const name = control.value.trim();
    if (name && !stagesOf().includes(name)) store.edit({ do: "set", path: [...PATH, "minutes", name], value: 30 });
  };
  return h("div", { class: "field" }, h("label", { for: id }, "another stage, such as pressing"),
    h("div", { class: "control" }, control, button("Add the stage", add)));
}

// One garment that takes longer or shorter than the others.
function own() {
  const names = (store.table.garment ?? []).map((one) => one.name).filter(Boolean);
  if (!names.length || !stagesOf().length) return null;
  return h("details", { "data-key": "own-minutes" }, h("summary", {}, "A garment that takes longer or shorter"),
    names.map((name) => h("fieldset", { class: "names" }, h("legend", {}, name), faultPlace([...PATH, "garment", name]),
      h("div", { class: "grid" }, stagesOf().map((stage) => numberField([...PATH, "garment", name, stage],
        { label: `${stage}, minutes`, placeholder: String(costing().minutes?.[stage] ?? "") }))))));
}

// Works done before, from which minutes are learned where none are told.
function before() {
  const path = [...PATH, "done"];
  const works = costing().done ?? [];
  const add = () => store.edit({ do: "put", path: [...path, works.length], value: { parts: 9, minutes: { "hand work": 45 } } });
  return h("details", { "data-key": "done" }, h("summary", {}, "Works done before"),
    h("p", { class: "hint" }, "A stage that is told nowhere else takes as long, by the part, as it took in these."),
    faultPlace(path),
    works.map((work, index) => h("fieldset", { class: "names" }, h("legend", {}, `work ${index + 1}`), faultPlace([...path, index]),
      h("div", { class: "grid" },
        numberField([...path, index, "parts"], { label: "parts of cloth" }),
        Object.keys(work?.minutes ?? {}).map((stage) => numberField([...path, index, "minutes", stage], { label: `${stage}, minutes` }))),
      workStage([...path, index, "minutes"]),
      button("Remove", () => store.edit({ do: "take", path: [...path, index] }), { "aria-label": `Remove work ${index + 1}` }))),
    button("Add a work", add, { class: "add" }));
}

function workStage(path) {
  const missing = stagesOf().filter((stage) => store.at([...path, stage]) === undefined);
  return h("div", { class: "tools" }, missing.map((stage) =>
    button(`Add ${stage}`, () => store.edit({ do: "set", path: [...path, stage], value: 30 }))));
}
