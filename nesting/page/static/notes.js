// What is worth knowing of a plan, besides its figures: notions to buy, a quote, doubts about measures, lays
// that the cloth can't have and why, seams that must meet, cautions, and how each garment is sewn.

import { h } from "./dom.js";
import { job } from "./job.js";

const place = document.getElementById("notes");
let drawn = "";

const list = (texts) => h("ul", {}, texts.map((text) => h("li", {}, text)));

function seamsTable({ seams, seam_heads: heads }) {
  const wrong = seams.filter((one) => !one.ok).length;
  const told = wrong ? `${wrong} of ${seams.length} ${wrong === 1 ? "does" : "do"} not meet` : `all ${seams.length} meet`;
  return h("details", { open: wrong > 0 },
    h("summary", {}, `Seams that must meet: ${seams.length === 1 && !wrong ? "it meets" : told}`),
    h("div", { class: "wide-table", tabindex: "0", role: "region", "aria-label": "Seams that must meet" },
      h("table", {},
        h("thead", {}, h("tr", {}, heads.map((head) => h("th", { scope: "col" }, head)))),
        h("tbody", {}, seams.map(({ row: [name, ...cells], ok }) => h("tr", { class: ok ? null : "wrong" },
          h("th", { scope: "row" }, name), cells.map((cell) => h("td", {}, cell))))))));
}

function notionsSheet(notions, total) {
  return h("div", { class: "sheet notions" },
    h("h2", {}, "To buy besides cloth"),
    h("ul", {}, notions.map((one) => h("li", {}, h("strong", {}, `${one.name}: ${one.buy}`), one.where ? `, ${one.where}` : ""))),
    total ? h("p", { class: "sum" }, `Cloth and notions in all: ${total}.`) : null);
}

function sewingSheet(sewing) {
  return h("div", { class: "sheet sewing" },
    h("h2", {}, "How to sew it"),
    sewing.map(({ garment, sections }) => h("details", {},
      h("summary", {}, garment),
      sections.map(({ title, numbered, lines }) => [h("h3", {}, title), h(numbered ? "ol" : "ul", {}, lines.map((line) => h("li", {}, line)))]))));
}

// What each garment costs, and what to ask for it; folded, but for the sum of all.
function quoteSheet({ parts, remarks }) {
  return h("div", { class: "sheet quote" },
    h("h2", {}, "Quote"),
    parts.map(({ title, rows }, index) => h("details", { open: index === parts.length - 1 },
      h("summary", {}, title, ": ", (rows.findLast((one) => one.what === "price") ?? rows.at(-1)).amount),
      h("table", {}, h("tbody", {}, rows.map(({ what, amount, strong }) =>
        h("tr", { class: strong ? "strong" : null }, h("th", { scope: "row" }, what), h("td", {}, amount))))))),
    remarks.map((one) => h("p", { class: "hint" }, one)));
}

async function show() {
  const { notes } = await job.plan().catch(() => ({}));
  if (!notes || JSON.stringify(notes) === drawn) return;
  drawn = JSON.stringify(notes);
  const { findings, seams, cautions, notions = [], sewing = [], quote } = notes;
  place.replaceChildren(notions.length ? notionsSheet(notions, notes.total) : "", quote ? quoteSheet(quote) : "", ...(findings.length || seams.length || cautions.length ? [h("div", { class: "sheet" },
    findings.length ? [h("h2", {}, "Worth knowing"), list(findings)] : null,
    cautions.length ? [h("h2", {}, "Take care"), list(cautions)] : null,
    seams.length ? seamsTable(notes) : null)] : []), sewing.length ? sewingSheet(sewing) : "");
}

let first = true;
job.on(["news"], (detail) => {
  if (first && detail.fabrics.length) {
    first = false;
    show();
  }
});
job.on(["over"], show);
