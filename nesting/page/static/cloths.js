// Cloths as cards: width, way of the pile, price, what is in hand, and how it may lie.

import { button, h, unused } from "./dom.js";
import { estimated } from "./estimate.js";
import { choiceField, flagField, lengthField, numberField, priceField, textField } from "./fields.js";
import { flawsOf } from "./flaws.js";
import { countsOf, faultPlace } from "./places.js";
import { marksOf, row, unfoldNext } from "./rows.js";
import { profileLine, swatch } from "./sketches.js";
import { store } from "./store.js";
import { money, written } from "./units.js";

const NAPS = [
  ["none", "none"],
  ["one-way", "one way"],
  ["per-garment", "one way in each garment"],
];
const FACES = [["different", "right and wrong"], ["alike", "both alike"]];

export function clothCard(name, catalogue) {
  const path = ["fabric", name];
  return row(path, { kind: "cloth", name, tell: () => told(path), inside: () => inside(path, catalogue) });
}

// On its line: a swatch, and what decides how much of it is bought; at the side the estimate.
function told(path) {
  const cloth = store.at(path) ?? {};
  const { faults, doubts } = countsOf(path);
  const about = estimated(path[1]);
  return {
    picture: [JSON.stringify([cloth.nap, cloth.repeat, cloth.border, cloth.flaws?.length]), () => swatch(cloth)],
    name: path[1],
    line: line(path[1], cloth),
    side: [JSON.stringify([faults, doubts, about]), () => [marksOf(path),
      about ? h("strong", {}, about.buy) : null, about?.cost ? h("span", {}, about.cost) : null]],
  };
}

function line(name, cloth) {
  const length = (value) => `${written(value, store.unit)}${typeof value === "number" ? ` ${store.unit}` : ""}`;
  const used = usesOf(name);
  const nap = NAPS.find(([value]) => value === cloth.nap && value !== "none");
  const per = cloth.per === "yd" || (!cloth.per && store.unit === "in") ? "a yard" : "a metre";
  return `${[
    cloth.width === undefined ? "no width yet" : `${length(cloth.width)} wide`,
    nap ? `nap ${nap[1]}` : null,
    cloth.faces === "alike" ? "both faces alike" : null,
    cloth.repeat ? "print with a repeat" : null, cloth.border ? "border print" : null,
    cloth.price === undefined ? null : `${money(cloth.price, cloth.currency)} ${per}`,
    cloth.in_hand?.length ? `${cloth.in_hand.length} ${cloth.in_hand.length === 1 ? "length" : "lengths"} in hand` : null,
    cloth.flaws?.length ? `${cloth.flaws.length} ${cloth.flaws.length === 1 ? "flaw" : "flaws"}` : null,
  ].filter(Boolean).join(", ")}; for ${used} ${used === 1 ? "part" : "parts"}`;
}

function inside(path, catalogue) {
  const name = path[1];
  const used = usesOf(name);
  return [
    h("div", { class: "sheet-head" },
      nameField(name),
      h("p", { class: "uses" }, used === 1 ? "for 1 part" : `for ${used} parts`),
      h("div", { class: "tools" },
        button("Remove", () => store.edit({ do: "take", path }),
          { "aria-label": `Remove ${name}`, disabled: used > 0, title: used ? `Cut for ${used} parts` : "" }))),
    faultPlace(path),
    h("div", { class: "grid" },
      lengthField([...path, "width"], { label: "width", hint: "the full width, as the shop gives it" }),
      priceField([...path, "price"], { label: "price", hint: "left blank: no cost" }),
      textField([...path, "currency"], { label: "currency", hint: "such as EUR" }),
      choiceField([...path, "nap"], { label: "nap", choices: NAPS, absent: "none",
        hint: "pile, sheen or print that runs one way; with none, pieces may be turned end for end" }),
      lengthField([...path, "selvedge"], { label: "selvedge", hint: "each edge, not cut into", absent: 0 }),
      choiceField([...path, "faces"], { label: "faces", choices: FACES, absent: "different",
        hint: "tulle, net and much lining have both sides alike" }),
      choiceField([...path, "per"], { label: "price is for", choices: [["m", "a metre"], ["yd", "a yard"]],
        blank: store.unit === "in" ? "a yard" : "a metre" }),
      lengthField([...path, "sold_by"], { label: "sold by", hint: "step of the counter, such as 10 cm" }),
      lengthField([...path, "minimum"], { label: "least sold", absent: 0 })),
    inHand([...path, "in_hand"], name),
    more(path, catalogue),
  ];
}

function nameField(name) {
  const path = ["fabric", name];
  const id = `cloth-${Object.keys(store.table.fabric).indexOf(name)}`;
  const control = h("input", { id, type: "text", value: name, autocomplete: "off", class: "cloth-name",
    onchange: () => {
      const value = control.value.trim();
      if (value && value !== name) {
        unfoldNext(["fabric", value]);
        store.edit({ do: "rename", path, value });
      } else {
        control.value = name;
      }
    } });
  return h("div", { class: "field" }, h("label", { for: id }, "cloth"), h("div", { class: "control" }, control));
}

function more(path, catalogue) {
  const lay = (name) => name.replaceAll("-", " ");
  return h("details", { "data-key": JSON.stringify([...path, "more"]) },
    h("summary", {}, "Shrinkage, print, flaws, ways to lie and more"),
    h("div", { class: "grid" },
      numberField([...path, "shrinkage", "length"], { label: "shrinks in length, %", placeholder: "0" }),
      numberField([...path, "shrinkage", "width"], { label: "shrinks in width, %", placeholder: "0" }),
      lengthField([...path, "end_allowance"], { label: "for squaring the ends", hint: "once a purchase", absent: 0 }),
      lengthField([...path, "gap"], { label: "gap between pieces", absent: 0 }),
      lengthField([...path, "edge_gap"], { label: "gap to the edges", hint: "not to a fold", absent: 0 }),
      numberField([...path, "tilt"], { label: "tilt, degrees", hint: "how far pieces may turn off the grain", placeholder: "0" }),
      lengthField([...path, "repeat", "length"], { label: "repeat along", hint: "of a print, stripes or checks" }),
      lengthField([...path, "repeat", "width"], { label: "repeat across" }),
      lengthField([...path, "repeat", "from_edge"], { label: "first motif from the edge", hint: "across, from the lower edge, selvedge and all; left blank: one stands in the middle" }),
      choiceField([...path, "border", "edge"], { label: "border print at", choices: [["lower", "the lower edge"], ["upper", "the upper edge"], ["both", "both edges"]], blank: "none" }),
      lengthField([...path, "border", "depth"], { label: "depth of the border" })),
    h("fieldset", { class: "lays", "data-path": JSON.stringify([...path, "lays"]) }, h("legend", {}, "Ways it may lie"),
      catalogue.lays.map((name) => layBox([...path, "lays"], name, lay(name), catalogue.lays))),
    faultPlace([...path, "lays"]),
    flawsOf([...path, "flaws"], path[1]));
}

function layBox(path, name, words, all) {
  const allowed = store.at(path) ?? all;
  const id = `${path.join("-")}-${name}`.replace(/[^\w-]/g, "-");
  const control = h("input", { type: "checkbox", id, checked: allowed.includes(name),
    onchange: () => {
      const { checked } = control;
      store.change(path, (now) => {
        const value = all.filter((one) => (one === name ? checked : (now ?? all).includes(one)));
        if (!value.length) {
          control.checked = true; // it must lie in some way
          return now ?? null;
        }
        return value.length === all.length ? null : value;
      });
    } });
  return h("div", { class: "lay-box" }, control, profileLine(name), h("label", { for: id }, words));
}

// Cloth that is there already: a length alone, or with what is known of it.
function inHand(path, name) {
  const lengths = store.at(path) ?? [];
  const rows = lengths.map((one, index) => {
    const here = [...path, index];
    const plain = typeof one !== "object";
    const remove = button("Remove", () => store.edit({ do: "take", path: here }),
      { "aria-label": `Remove length ${index + 1} of ${name}` });
    if (plain) {
      return h("li", {}, h("div", { class: "grid" }, lengthField(here, { label: "length" })),
        h("div", { class: "tools" }, button("It is narrower, washed or flawed", () => store.change(here, { length: one })), remove));
    }
    return h("li", {}, h("div", { class: "grid" },
      lengthField([...here, "length"], { label: "length" }),
      lengthField([...here, "width"], { label: "width", hint: "left blank: as the cloth" }),
      lengthField([...here, "selvedge"], { label: "selvedge", hint: "each edge; left blank: as the cloth, 0 for a remnant without" }),
      textField([...here, "name"], { label: "name" }),
      flagField([...here, "washed"], { label: "washed already" })),
    flawsOf([...here, "flaws"], `length ${index + 1} of ${name}`),
    h("div", { class: "tools" }, remove));
  });
  const add = () => (lengths.length
    ? store.edit({ do: "put", path: [...path, lengths.length], value: "1 m" })
    : store.edit({ do: "set", path, value: ["1 m"] }));
  return h("section", { class: "in-hand", "aria-label": `${name} in hand` },
    h("h3", {}, "In hand"), faultPlace(path), h("ol", {}, rows),
    button("Add a length that is there", add, { class: "add" }));
}

function usesOf(name) {
  const parts = [...(store.table.piece ?? []), ...(store.table.notion ?? []), ...(store.table.garment ?? []).flatMap((one) => one.part ?? [])];
  return parts.filter((one) => one.fabric === name || one.lining === name).length;
}

export const newCloth = () => store.edit(() => {
  const width = store.unit === "in" ? 54 : store.unit === "mm" ? 1400 : 140;
  const path = ["fabric", unused("cloth", Object.keys(store.table.fabric ?? {}))];
  unfoldNext(path);
  // Bought where the others are.
  const { currency } = Object.values(store.table.fabric ?? {}).find((one) => one.currency) ?? {};
  return { do: "set", path, value: currency ? { width, currency } : { width } };
});
