// Photographs of paper pieces on a table: traced, looked at, used.

import { button, h, newId } from "./dom.js";
import { content } from "./drawings.js";
import { asked } from "./paper.js";
import { store } from "./store.js";

const LARGEST = 8_500_000;
const KEY = "photographs";

// Traces photographs; `then` has the name of the drawing that is made of them.
export function photographs(then) {
  const id = newId("photo");
  const told = h("p", { class: "hint", role: "status" });
  const result = h("div", { class: "traced" });
  const control = h("input", { type: "file", id, accept: "image/jpeg,image/png", multiple: true, class: "file",
    onchange: async () => {
      const files = [...control.files];
      if (!files.length) return;
      result.replaceChildren();
      if (files.reduce((sum, file) => sum + file.size, 0) > LARGEST) {
        told.className = "fault";
        told.textContent = "The photographs are larger than 8.5 MB together. Save them smaller, as JPEG, with all their pixels.";
        return;
      }
      const photos = Object.fromEntries(await Promise.all(files.map(async (file) => [file.name, await content(file)])));
      const found = await asked(told, "/api/paper/trace", { photos });
      if (found) result.replaceChildren(...shown(found, then));
    } });
  return h("details", { "data-key": KEY },
    h("summary", {}, "Trace paper pieces in a photograph"),
    h("p", { class: "hint" }, "Print the sheet at 100 %, lay it flat beside the pieces, on a table much darker or lighter than they are, and take the photograph from above. Several photographs are joined: sheets and pieces stay where they lie, and each shows a sheet that another shows, too."),
    h("p", {}, sheetButton("a4", "Sheet on A4", told), " ", sheetButton("letter", "Sheet on Letter", told), " ",
      control, h("label", { for: id, class: "button" }, "Choose photographs")),
    told, result);
}

function sheetButton(paper, words, told) {
  return button(words, async () => {
    const found = await asked(told, "/api/paper/sheet", { paper });
    if (found) h("a", { href: `data:application/pdf;base64,${found.pdf}`, download: `sheet-${paper}.pdf` }).click();
  });
}

function shown(found, then) {
  const use = async () => {
    store.drawings[found.name] = found.drawing;
    await then(found.name);
  };
  return [
    h("img", { src: `data:image/png;base64,${found.picture}`, class: "traced-picture", alt: "The photograph from above, the outlines found drawn over it, their corners numbered" }),
    h("ul", {}, found.told.map((line) => h("li", {}, line))),
    h("p", {}, "Look whether each outline lies on the edge of its paper. Fold, grain, notches and seams are set on the picture of the pieces that you use, and corners moved there. ", button("Use these pieces", use, { class: "add" })),
  ];
}
