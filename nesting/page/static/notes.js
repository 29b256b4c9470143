// What is worth knowing of a plan, besides its figures: doubts about measures, lays that the cloth
// can't have and why, seams that must meet, and cautions.

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

async function show() {
  const { notes } = await job.plan().catch(() => ({}));
  if (!notes || JSON.stringify(notes) === drawn) return;
  drawn = JSON.stringify(notes);
  const { findings, seams, cautions } = notes;
  place.replaceChildren(...(findings.length || seams.length || cautions.length ? [h("div", { class: "sheet" },
    findings.length ? [h("h2", {}, "Worth knowing"), list(findings)] : null,
    cautions.length ? [h("h2", {}, "Take care"), list(cautions)] : null,
    seams.length ? seamsTable(notes) : null)] : []));
}

let first = true;
job.on(["news"], (detail) => {
  if (first && detail.fabrics.length) {
    first = false;
    show();
  }
});
job.on(["over"], show);
