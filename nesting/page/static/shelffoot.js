// At the foot of the shelf: all orders as one file, there and back; what was deleted; where it lies.

import { ask } from "./ask.js";
import { button, h, newId } from "./dom.js";
import { newKey } from "./outbox.js";
import { inTime } from "./times.js";

const PART = 6_000_000;

// Base64 of a part of a file.
const encoded = (/** @type {Blob} */ part) => new Promise((resolve, reject) => {
  const reader = new FileReader();
  reader.onload = () => resolve(String(reader.result).replace(/^[^,]*,/, ""));
  reader.onerror = () => reject(reader.error);
  reader.readAsDataURL(part);
});

// An exported file, in parts; how many orders were new. `tell` is told how far it is.
/** @param {File} file @param {(words: string) => void} tell */
export async function bringFile(file, tell) {
  const upload = newKey();
  for (let from = 0; ; from += PART) {
    const last = from + PART >= file.size;
    const part = await encoded(file.slice(from, from + PART));
    const answer = await ask(`/api/shelf/bring/${upload}`, { part, last });
    if (last) return answer.new;
    tell(`${Math.floor((100 * (from + PART)) / file.size)} % of ${file.name} is read.`);
  }
}

/** @param {any} shelf @param {Record<string, (what: any) => void>} acts */
export function shelfFoot({ orders, folder, most_plans: most, deleted_days: days }, { putBack, erase, bring }) {
  if (!folder) return [];
  const id = newId("bring");
  const gone = orders.filter((one) => one.gone);
  const choose = h("input", { type: "file", id, class: "file", accept: ".zip", onchange: () => {
    const [file] = choose.files;
    if (file) bring(file);
    choose.value = "";
  } });
  return [
    h("div", { class: "ready" }, orders.length > gone.length ? h("a", { class: "button", href: "/shelf.zip", download: "" }, "All orders as one file") : null,
      h("span", {}, choose, h("label", { for: id, class: "button" }, "Bring orders from such a file"))),
    h("p", { class: "hint" }, `Orders are kept on this computer, in ${folder}; of each the last ${most} plans, with their drawings. Nothing of it goes anywhere else.`),
    gone.length ? h("details", { class: "deleted" },
      h("summary", {}, gone.length === 1 ? "1 order deleted lately" : `${gone.length} orders deleted lately`),
      h("p", { class: "hint" }, `They are erased after ${days} days.`),
      h("ul", {}, gone.map((one) => h("li", {}, `${one.name}, deleted ${inTime(one.gone)}`,
        button("Put back", () => putBack(one), { "aria-label": `Put back: ${one.name}` }),
        button("Erase for good", () => erase(one), { "aria-label": `Erase for good: ${one.name}` }))))) : null,
  ].filter(Boolean);
}
