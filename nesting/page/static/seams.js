// Seams of ready pieces that are sewn to each other: compared in the report.

import { button, h, newId } from "./dom.js";
import { choiceField, lengthField, textField } from "./fields.js";
import { faultPlace, showing } from "./places.js";
import { store } from "./store.js";

const KEY = "seam";

export function seamCards() {
  const id = newId("seams");
  const known = h("datalist", { id });
  showing([KEY, "known"], () => known.replaceChildren(...edges().map((value) => h("option", { value }))));
  const cards = (store.table[KEY] ?? []).map((_, index) => card([KEY, index], id));
  const add = () => store.edit(() => {
    const count = (store.table[KEY] ?? []).length;
    return { do: "put", path: [KEY, count], value: { what: `seam ${count + 1}`, this: "", that: "" } };
  });
  return h("details", { "data-key": KEY },
    h("summary", {}, "Seams that must meet"), known, cards, button("Compare two seams", add, { class: "add" }));
}

// The seams that ready pieces have, as an order names them.
function edges() {
  const ready = (store.seen?.drawn ?? []).filter(({ path }) => path[0] === "piece" || store.at([...path, "file"]));
  return [...new Set(ready.flatMap((one) => one.pieces).flatMap((one) => Object.keys(one.seams_mm).map((seam) => `${one.name}: ${seam}`)))];
}

const listed = (field, id) => {
  field.querySelector("input").setAttribute("list", id);
  return field;
};

function card(path, id) {
  const meets = h("p", { class: "hint", role: "status" });
  showing([...path, "told"], () => {
    const what = store.at([...path, "what"]);
    meets.textContent = (store.seen?.seams ?? []).filter((one) => one.what === what).map((one) => one.told).join(" ");
  });
  return h("div", { class: "grid" },
    textField([...path, "what"], { label: "seam" }),
    listed(textField([...path, "this"], { label: "this edge", hint: "piece and seam, as front: side" }), id),
    listed(textField([...path, "that"], { label: "that edge", hint: "as back: side" }), id),
    lengthField([...path, "longer"], { label: "this is longer by", hint: "to be eased in" }),
    choiceField([...path, "garment"], {
      label: "for", choices: (store.table.garment ?? []).map((one) => one.name).filter(Boolean), blank: "anybody",
    }),
    button("Remove", () => store.edit({ do: "take", path })), meets, faultPlace(path));
}
