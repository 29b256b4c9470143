// Seams of ready pieces that are sewn to each other: compared in the report.

import { button, h } from "./dom.js";
import { choiceField, lengthField, textField } from "./fields.js";
import { faultPlace } from "./places.js";
import { store } from "./store.js";

const KEY = "seam";

export function seamCards() {
  const cards = (store.table[KEY] ?? []).map((_, index) => card([KEY, index]));
  const add = () => store.edit({ do: "put", path: [KEY, cards.length], value: { what: `seam ${cards.length + 1}`, this: "", that: "" } });
  return h("details", { "data-key": KEY },
    h("summary", {}, "Seams that must meet"), cards, button("Compare two seams", add, { class: "add" }));
}

function card(path) {
  return h("div", { class: "grid" },
    textField([...path, "what"], { label: "seam" }),
    textField([...path, "this"], { label: "this edge", hint: "piece and seam, as front: side" }),
    textField([...path, "that"], { label: "that edge", hint: "as back: side" }),
    lengthField([...path, "longer"], { label: "this is longer by", hint: "to be eased in" }),
    choiceField([...path, "garment"], {
      label: "for", choices: (store.table.garment ?? []).map((one) => one.name).filter(Boolean), blank: "anybody",
    }),
    button("Remove", () => store.edit({ do: "take", path })), faultPlace(path));
}
