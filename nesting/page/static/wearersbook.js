// The book of wearers on this computer: whose measures an order takes from there, and keeps there.

import { ask } from "./ask.js";
import { button, h } from "./dom.js";
import { choiceField } from "./fields.js";
import { store } from "./store.js";

const bookOf = (catalogue) => catalogue.books.find(({ name }) => name === store.table.wearers);

// Names in the book that the order takes, or in all while it takes none.
const namesIn = (catalogue) => {
  const books = store.table.wearers ? [bookOf(catalogue)].filter(Boolean) : catalogue.books;
  return [...new Set(books.flatMap(({ wearers }) => wearers.map(({ name }) => name)))];
};

// What the book has of a wearer's measure, in mm.
export function bookMeasure(path, measure, catalogue) {
  const name = store.at([...path, "wearer"]);
  return bookOf(catalogue)?.wearers.find((one) => one.name === name)?.measures[measure];
}

export const bookShape = (catalogue) => catalogue.books.map(({ name, wearers }) => [name, wearers.map((one) => one.name)]);

export const bookField = (catalogue) => choiceField(["wearers"], { label: "book of wearers", choices: catalogue.books.map(({ name }) => name),
  blank: "none", hint: "on this computer, beside the orders; a wearer's card says who of it is meant" });

// What was last said of it, and at whose card: the form may be built anew meanwhile.
let said = { at: -1, words: "" };

export function wearerFromBook(path, catalogue) {
  const told = h("p", { class: "hint", role: "status" }, said.at === path[1] ? said.words : "");
  const choose = (name) => {
    const holds = ({ wearers }) => wearers.some((one) => one.name === name);
    const book = store.table.wearers ?? catalogue.books.find(holds)?.name;
    const edits = [{ do: "set", path: [...path, "wearer"], value: name }];
    if (book && !store.table.wearers) edits.unshift({ do: "set", path: ["wearers"], value: book });
    return name ? store.edit(...edits) : store.edit({ do: "take", path: [...path, "wearer"] });
  };
  const note = async () => {
    const name = store.at([...path, "wearer"]) ?? store.at([...path, "name"]) ?? "";
    try {
      await store.queue;
      const body = { order: store.seen.order, index: path[1], name, book: store.table.wearers ?? "" };
      const { books, book } = await ask("/api/measures", body);
      catalogue.books = books;
      said = { at: path[1], words: `The measures of ${name} are in ${book}, with the day.` };
      told.textContent = said.words;
      store.dispatchEvent(new Event("change"));
    } catch (refused) {
      told.textContent = refused.faults.map((one) => [one.message, one.remedy].join(" ")).join(" ") || refused.message;
    }
  };
  const names = namesIn(catalogue);
  return h("div", { class: "from-book" },
    choiceField([...path, "wearer"], { label: "measures from the book", choices: names, commit: choose,
      blank: names.length ? "nobody of it" : "nobody is in it yet" }),
    button("Keep these measures in the book", note), told);
}
