// Patterns on paper and in PDF: asked of the worker, and of nobody else; sizes as pictures to pick from.

import { ask } from "./ask.js";
import { button, h, s } from "./dom.js";
import { inWords } from "./faults.js";
import { store } from "./store.js";

// What was asked, or null with what is wrong told in words.
export async function asked(told, path, body) {
  told.className = "hint";
  told.textContent = "One moment.";
  try {
    const answer = await ask(path, body);
    told.textContent = "";
    return answer;
  } catch (refused) {
    told.className = "fault";
    told.textContent = [refused.message, ...(refused.faults ?? []).map(inWords)].filter(Boolean).join(" ");
    return null;
  }
}

// The sizes of a PDF that is here, each a picture; null for other drawings.
export function sizePicker(path) {
  const file = store.at([...path, "file"]);
  if (!/\.pdf$/i.test(file ?? "") || !Object.hasOwn(store.drawings, file)) return null;
  const told = h("p", { class: "hint", role: "status" });
  const sizes = h("div", { class: "size-pictures" });
  const look = async () => {
    const found = await asked(told, "/api/paper/sizes", { name: file, content: store.drawings[file] });
    if (!found) return;
    if (!found.sizes.length) told.textContent = "There is no closed outline in it.";
    sizes.replaceChildren(...found.sizes.map((one) => button(
      [s("svg", { class: "pieces", viewBox: found.box.join(" "), width: 130, "aria-hidden": "true" }, s("path", { class: "cut", d: one.path })),
        h("span", {}, `${one.layer} (${one.count})`)],
      () => store.change([...path, "layer"], one.layer), { "aria-pressed": String(store.at([...path, "layer"]) === one.layer) })));
  };
  return h("div", {}, button("Show its sizes", look), told, sizes);
}
