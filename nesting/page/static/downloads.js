// What there is to take along: drawings, lists, and pages at true size, which are drawn when asked for.

import { button, h, newId } from "./dom.js";
import { save } from "./file.js";
import { job } from "./job.js";

const KINDS = { pdf: "PDF", png: "PNG picture", svg: "SVG", dxf: "DXF, true size" };
const PAPERS = { a4: "A4", letter: "Letter" };
const LISTS = { "shopping.txt": "Shopping list", "quote.pdf": "Quote, to print", "quote.txt": "Quote, as text", "report.txt": "Report", "notes.pdf": "Sewing notes, to print", "notes.txt": "Sewing notes, as text", "plan.json": "Plan as data" };
const PHONE = "cutting-table.html";

const link = (name, words) => h("a", { href: `/jobs/${encodeURIComponent(job.key)}/files/${encodeURIComponent(name)}`, download: name }, words);

async function printing(paper, told) {
  told.textContent = `Drawing the pages of ${PAPERS[paper]}. This takes a while.`;
  try {
    await job.again("print", { paper });
  } catch (refused) {
    told.textContent = refused.message;
  }
}

// Pictures and cloths, and what these cost if that is wanted; nothing of measures or doubts.
function forClient() {
  const id = newId("prices");
  const prices = h("input", { type: "checkbox", id });
  const told = h("span", { class: "hint", role: "status" });
  const run = async () => {
    try {
      const { page } = await job.question("client", { prices: prices.checked });
      save("for-the-client.html", page, "text/html");
      told.textContent = "Pictures and cloths, nothing of measures.";
    } catch (refused) {
      told.textContent = refused.message;
    }
  };
  return h("p", { class: "ready-add" }, button("One file for the client", run), h("span", { class: "box" }, prices, h("label", { for: id }, "with what the cloth costs")), told);
}

export function downloads(title) {
  const { files } = job.state;
  const told = h("p", { role: "status" });
  const own = h("ul");
  // plan.json names each cloth's drawings.
  job.plan().then((plan) => {
    const named = plan.fabrics.find((one) => one.title === title)?.files ?? {};
    own.replaceChildren(...Object.entries(KINDS).filter(([kind]) => files.includes(named[kind]))
      .map(([kind, words]) => h("li", {}, link(named[kind], words))));
    const stem = (named.pdf ?? "").replace(/\.pdf$/, "");
    tiles.replaceChildren(...Object.entries(PAPERS).map(([paper, words]) => h("li", {}, files.includes(`pieces-${paper}.pdf`)
      ? [link(`pieces-${paper}.pdf`, `Pieces, ${words}`), " ", files.includes(`${stem}-${paper}.pdf`) ? link(`${stem}-${paper}.pdf`, `This layout, ${words}`) : ""]
      : button(`Draw the pages of ${words}`, () => printing(paper, told)))));
  }).catch(() => {});
  const tiles = h("ul");
  return h("section", { class: "downloads", "aria-label": "Downloads" },
    h("h2", {}, "To the cutting table"),
    h("p", { class: "ready-add" }, h("a", { class: "button main", href: `/plan/${encodeURIComponent(job.key)}/cut` }, "Cut step by step"),
      files.includes(PHONE) ? h("a", { class: "button", href: `/jobs/${encodeURIComponent(job.key)}/files/${PHONE}`, download: PHONE,
        title: "The steps, drawings and lists: send it to the phone and open it there, without this computer" }, "One file for a phone") : null,
      h("a", { class: "button", href: `/jobs/${encodeURIComponent(job.key)}/all.zip`, download: "" }, "Download all")),
    forClient(),
    h("div", { class: "download-groups" },
      h("div", {}, h("h3", {}, `Drawings of the ${title}`), own),
      h("div", {}, h("h3", {}, "Lists"), h("ul", {}, Object.entries(LISTS).filter(([name]) => files.includes(name)).map(([name, words]) => h("li", {}, link(name, words))))),
      h("div", {}, h("h3", {}, "True size, in pages to stick together"), tiles, told)));
}
