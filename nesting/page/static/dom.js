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

export const h = (tag, attributes = {}, ...children) =>
  fill(document.createElement(tag), attributes, children);

export const s = (tag, attributes = {}, ...children) =>
  fill(document.createElementNS(SVG, tag), attributes, children);

export function button(text, onclick, attributes = {}) {
  return h("button", { type: "button", onclick, ...attributes }, text);
}

export const piecesOf = (number) => `${number} ${number === 1 ? "piece" : "pieces"}`;

let count = 0;
export const newId = (stem) => `${stem}-${(count += 1)}`;
