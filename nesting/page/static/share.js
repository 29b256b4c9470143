// The page that stands by itself: a plan's steps from the data within it, then its lists.

import { showCutting } from "./cut.js";
import { h } from "./dom.js";

export function begin() {
  const { key, cutting, shopping, findings } = JSON.parse(document.getElementById("plan-data").textContent);
  showCutting(cutting, key);
  document.getElementById("lists").replaceChildren(
    h("details", { class: "sheet" }, h("summary", {}, "Shopping list"), h("pre", { class: "list" }, shopping)),
    findings.length ? h("details", { class: "sheet" }, h("summary", {}, "Worth knowing"), h("ul", {}, findings.map((one) => h("li", {}, one)))) : "");
}

begin();
