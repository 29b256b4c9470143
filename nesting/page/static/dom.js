// Building elements. Text goes in as text, never as markup.

const SVG = "http://www.w3.org/2000/svg";

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "disabled") node[name] = value;
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat(3).filter((child) => child !== null && child !== undefined));
  return node;
}

// An element of the page that is always there.
/** @returns {any} */
export const byId = (/** @type {string} */ id) => document.getElementById(id);

/** @returns {any} */
export const all = (/** @type {string} */ selector, /** @type {any} */ within = document) => [...within.querySelectorAll(selector)];

/** @param {string} tag @param {Record<string, any>} attributes @param {any[]} children @returns {any} */
export const h = (tag, attributes = {}, ...children) =>
  fill(document.createElement(tag), attributes, children);

/** @param {string} tag @param {Record<string, any>} attributes @param {any[]} children @returns {any} */
export const s = (tag, attributes = {}, ...children) =>
  fill(document.createElementNS(SVG, tag), attributes, children);

/** @param {any} text @param {(event: any) => any} onclick @param {Record<string, any>} attributes */
export function button(text, onclick, attributes = {}) {
  return h("button", { type: "button", onclick, ...attributes }, text);
}

export const piecesOf = (number) => `${number} ${number === 1 ? "piece" : "pieces"}`;

// "cloth 3", or the next that is not among those taken.
export function unused(stem, taken, from = taken.length + 1) {
  let number = from;
  while (taken.includes(`${stem} ${number}`)) number += 1;
  return `${stem} ${number}`;
}

let count = 0;
export const newId = (stem) => `${stem}-${(count += 1)}`;
