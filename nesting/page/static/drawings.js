// Pieces from drawing files. The page sends their content; it opens no path.

import { h, newId } from "./dom.js";
import { marking } from "./marks.js";
import { edgeField } from "./points.js";
import { ownPoints } from "./prints.js";
import { choiceField, clothChoice, flagField, lengthField, numberField, textField } from "./fields.js";
import { sizePicker } from "./paper.js";
import { store } from "./store.js";

const LARGEST = 4_000_000;
export const GRAINS = [["lengthwise", "along the cloth"], ["crosswise", "across the cloth"], ["bias", "on the bias"], ["any", "any of these"]];

export const readText = (file) => file.text();

export async function content(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
}

// Takes a drawing in; what is wrong with it, in words.
export async function bring(file, then) {
  if (file.size > LARGEST) return `${file.name} is larger than 4 MB. Save the outlines of the pieces alone.`;
  store.drawings[file.name] = await content(file);
  await then(file.name);
  return "";
}

// A button that takes a file; `then` has its name.
export function addDrawing(then, words = "add a drawing (DXF, SVG or PDF)", kind = "button") {
  const id = newId("drawing");
  const told = h("span", { class: "fault", role: "status" });
  const control = h("input", { type: "file", id, accept: ".dxf,.svg,.pdf", class: "file",
    onchange: async () => {
      const [file] = control.files;
      if (file) told.textContent = await bring(file, then);
    } });
  return h("span", {}, control, h("label", { for: id, class: kind }, words), told);
}

const MEANINGS = [["fold", "on the fold"], ["cut", "cut so many"], ["pair", "left and right"], ["grain", "thread line"]];

// What a pattern in PDF may need to be told; left blank, its own lines and words tell it.
function sheetFields(path) {
  return h("details", { "data-key": JSON.stringify([...path, "sheets"]) },
    h("summary", {}, "For a pattern in PDF"), sizePicker(path),
    h("div", { class: "grid" },
      textField([...path, "layer"], { label: "size", hint: "its layer, or its kind of line, as “red dashed”" }),
      textField([...path, "pages"], { label: "pages", hint: "A4, letter or numbers, as 3-20" }),
      numberField([...path, "columns"], { label: "sheets in a row" }),
      lengthField([...path, "overlap"], { label: "sheets overlap by" }),
      lengthField([...path, "square"], { label: "its test square measures" }),
      choiceField([...path, "fold"], { label: "side on the fold", choices: ["left", "right", "top", "bottom"], blank: "as it says" }),
      MEANINGS.map(([key, words]) => textField([...path, "words", key], { label: `its word for “${words}”` }))));
}

export function drawingRow(path) {
  const file = store.at([...path, "file"]);
  const here = file !== undefined && Object.hasOwn(store.drawings, file);
  const status = here
    ? h("p", { class: "hint" }, `${file} is here.`)
    : h("p", { class: "hint" }, "The page opens no files by itself. ",
      // Made at its turn, it is asked for even if the name stays: the drawing is new.
      addDrawing((name) => store.edit(() => ({ do: "set", path: [...path, "file"], value: name })), "add the drawing"));
  return [
    status,
    h("div", { class: "grid" },
      textField([...path, "file"], { label: "drawing" }),
      clothChoice([...path, "fabric"], "cloth", "choose one"),
      choiceField([...path, "unit"], { label: "unit of the drawing", choices: ["mm", "cm", "in"], blank: "as it says" }),
      numberField([...path, "cut"], { label: "how many", hint: "left blank: as the drawing says" }),
      flagField([...path, "pair"], { label: "left and right", absent: null }),
      edgeField([...path, "grain"], null, { label: "thread line", blank: "as drawn", others: [[[[0, 0], [10, 0]], "along the drawing"], [[[0, 0], [0, 10]], "up the drawing"]] }),
      choiceField([...path, "grain_rule"], { label: "thread runs", choices: GRAINS, blank: "as the drawing says" }),
      lengthField([...path, "allowance"], { label: "allowance to add", hint: "left blank: the outline is the line to cut" })),
    marking(path), sheetFields(path),
    h("details", { "data-key": JSON.stringify([...path, "points"]) },
      h("summary", {}, "Points of its own"), ownPoints(path)),
  ];
}
