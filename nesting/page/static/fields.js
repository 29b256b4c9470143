// Fields of the form. Each is bound to a path of the order, shows its value and its faults.

import { h, newId } from "./dom.js";
import { inWords } from "./faults.js";
import { nameOf as name, register, reveal } from "./places.js";
import { drawnChoice } from "./sketches.js";
import { store } from "./store.js";
import { isTyping } from "./typing.js";
import { format, typedLength, typedNumber, written } from "./units.js";

/** @typedef {(string | number)[]} Path of a value in the order */

/** @param {Record<string, any>} options */
function wrap({ path, label, hint, control, after, note, wide }) {
  const id = newId("field");
  const told = h("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const small = h("p", { class: "hint", id: `${id}-hint`, hidden: !hint }, hint || "");
  control.id = id;
  control.dataset.path = name(path);
  control.setAttribute("aria-describedby", `${id}-fault ${id}-hint${note ? ` ${id}-note` : ""}`);
  if (note) note.id = `${id}-note`;
  const node = h("div", { class: `field${wide ? " wide" : ""}` },
    h("label", { for: id }, label),
    h("div", { class: "control" }, control, after),
    note, small, told);
  return {
    node,
    show(faults) {
      told.hidden = !faults.length;
      told.textContent = faults.map(inWords).join(" ");
      node.classList.toggle("at-fault", faults.length > 0);
      if (faults.length) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    },
    focus() {
      reveal(node);
      control.focus();
    },
  };
}

function bind(field, path, update) {
  update();
  register(path, { node: field.node, show(faults) { update(); field.show(faults); }, focus: field.focus });
  return field.node;
}

function write(control, value) {
  if (isTyping(control)) return;
  if (document.activeElement !== control || control.value.trim() !== value) control.value = value;
  control.dataset.committed = control.value;
}

/** @param {Path} path @param {Record<string, any>} options */
function input(path, { label, hint, wide, after, note, placeholder = " ", read, show, mode }) {
  const control = h("input", {
    type: "text", inputmode: mode, autocomplete: "off", spellcheck: "false", placeholder,
    onchange: () => store.change(path, read(control.value)),
  });
  const field = wrap({ path, label, hint, control, after, note, wide });
  return bind(field, path, () => {
    write(control, show(store.at(path)));
  });
}

/** @param {Path} path @param {Record<string, any>} options */
export function textField(path, options) {
  return input(path, {
    ...options,
    read: (text) => (text.trim() ? text.trim() : null),
    show: (value) => (value === undefined ? "" : String(value)),
  });
}

// A length in the order's unit; one written in another says so itself. `absent` is what holds, in
// mm, if it is left blank.
/** @param {Path} path @param {Record<string, any>} options */
export function lengthField(path, options) {
  const unit = h("span", { class: "unit", "aria-hidden": "true" });
  const note = options.note ?? null;
  const node = input(path, {
    ...options, note, after: unit, mode: "text",
    placeholder: options.absent === undefined || options.absent === null ? undefined : "",
    read: (text) => typedLength(text, store.unit),
    show: (value) => {
      unit.textContent = typeof value === "string" ? "" : store.unit;
      return written(value, store.unit);
    },
  });
  if (options.absent !== undefined && options.absent !== null) {
    const control = node.querySelector("input");
    control.placeholder = format(options.absent, store.unit).replace(` ${store.unit}`, "");
  }
  return node;
}

// Several lengths in a row, with commas between them.
/** @param {Path} path @param {Record<string, any>} options */
export function lengthsField(path, options) {
  return input(path, {
    ...options,
    read: (text) => (text.trim() ? text.split(/\s*;\s*|,\s+/).map((one) => typedLength(one, store.unit)) : null),
    show: (value) => (Array.isArray(value) ? value.map((one) => written(one, store.unit)).join(", ") : String(value ?? "")),
  });
}

// A length in a row of a table, whose heads name it; it is never left blank.
export function lengthCell(path, label) {
  const control = h("input", {
    type: "text", autocomplete: "off", spellcheck: "false", "aria-label": label,
    onchange: () => {
      const value = typedLength(control.value, store.unit);
      if (value === null) control.value = written(store.at(path), store.unit);
      else store.change(path, value);
    },
  });
  control.dataset.path = name(path);
  const told = h("p", { class: "fault", hidden: true });
  const node = h("div", { class: "cell" }, control, told);
  const show = (faults) => {
    write(control, written(store.at(path), store.unit));
    told.hidden = !faults.length;
    told.textContent = faults.map(inWords).join(" ");
    node.classList.toggle("at-fault", faults.length > 0);
  };
  register(path, { node, show, focus: () => { reveal(node); control.focus(); } });
  show([]);
  return node;
}

// One or more of a few names, as a list; `names` is asked anew each time the field is shown.
/** @param {Path} path @param {Record<string, any>} options */
export function namesField(path, { label, hint, names }) {
  const told = h("p", { class: "fault", hidden: true });
  const boxes = h("div", { class: "boxes" });
  const node = h("fieldset", { class: "names", tabindex: "-1" }, h("legend", {}, label), boxes,
    hint ? h("p", { class: "hint" }, hint) : null, told);
  node.dataset.path = name(path);
  const chosen = () => [store.at(path) ?? []].flat();
  const update = () => {
    const all = [...new Set([...names(), ...chosen()])];
    if (boxes.dataset.shown === JSON.stringify([all, chosen()])) return;
    boxes.dataset.shown = JSON.stringify([all, chosen()]);
    boxes.replaceChildren(...all.map((one) => {
      const id = newId("name");
      const control = h("input", { type: "checkbox", id, checked: chosen().includes(one), onchange: () => {
        const { checked } = control;
        store.change(path, () => {
          const next = all.filter((other) => (other === one ? checked : chosen().includes(other)));
          return next.length ? next : null;
        });
      } });
      return h("div", { class: "box" }, control, h("label", { for: id }, one));
    }));
    if (!all.length) boxes.replaceChildren(h("p", { class: "hint" }, "The piece has to be drawn first: put right what is wrong with it."));
  };
  register(path, { node, focus: () => { reveal(node); node.focus(); }, show(faults) {
    update();
    told.hidden = !faults.length;
    told.textContent = faults.map(inWords).join(" ");
  } });
  update();
  return node;
}

/** @param {Path} path @param {Record<string, any>} options */
export function numberField(path, options) {
  return input(path, {
    ...options, mode: "decimal",
    read: typedNumber,
    show: (value) => (value === undefined ? "" : String(value)),
  });
}

/** @param {Path} path @param {Record<string, any>} options */
export function priceField(path, options) {
  return input(path, {
    ...options, mode: "decimal",
    read: typedNumber,
    show: (value) => (typeof value === "number" && Math.round(value * 100) === value * 100
      ? value.toFixed(2) : String(value ?? "")),
  });
}

// `choices` are values, or [value, words]; `absent` is the one that holds without the key.
/** @param {Path} path @param {Record<string, any>} options */
export function choiceField(path, { label, hint, choices, absent = null, blank = "as usual", wide, keep, commit, toText = String, toValue = (text) => text }) {
  const pairs = choices.map((one) => (Array.isArray(one) ? one : [one, String(one)]));
  const control = h("select", {
    onchange: () => {
      const value = control.value;
      if (commit) commit(value);
      else store.change(path, value === "" || (value === absent && !keep) ? null : toValue(value));
    },
  });
  const field = wrap({ path, label, hint, control, wide });
  const sketch = drawnChoice(path.at(-1), pairs.map(([one]) => one));
  if (sketch) field.node.append(sketch.node);
  return bind(field, path, () => {
    const value = store.at(path);
    const options = absent === null && !keep ? [["", blank], ...pairs] : [...pairs];
    const shown = value === undefined ? absent ?? "" : toText(value);
    if (!options.some(([one]) => one === shown)) options.push([shown, shown || "choose one"]);
    control.replaceChildren(...options.map(([one, words]) =>
      h("option", { value: one, selected: one === shown }, words)));
    control.value = shown;
    sketch?.show(shown);
  });
}

export const cloths = () => Object.keys(store.table.fabric ?? {});

export const clothChoice = (path, label, blank) => choiceField(path, { label, choices: cloths(), blank });

// A yes or no; `absent` is true, false, or null where the trade decides.
/** @param {Path} path @param {Record<string, any>} options */
export function flagField(path, { label, hint, absent = false }) {
  if (absent === null) {
    const choices = [["true", "yes"], ["false", "no"]];
    return choiceField(path, { label, hint, choices, toValue: (text) => text === "true" });
  }
  const control = h("input", {
    type: "checkbox",
    onchange: () => store.change(path, control.checked === absent ? null : control.checked),
  });
  const field = wrap({ path, label, hint, control });
  field.node.classList.add("check");
  return bind(field, path, () => { control.checked = store.at(path) ?? absent; });
}
