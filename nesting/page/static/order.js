// The order on one page: what is at hand at its top and its foot, and on to the plan.

import { ask, steadily } from "./ask.js";
import { catalogue as fetchCatalogue } from "./catalogue.js";
import { all, button, byId, h, piecesOf } from "./dom.js";
import { bring } from "./drawings.js";
import { news as estimates, watch as watchEstimate } from "./estimate.js";
import { inWords } from "./faults.js";
import { bindFile, download } from "./file.js";
import { inTime } from "./times.js";
import { showForm } from "./form.js";
import { nearest } from "./places.js";
import { byDrawing } from "./ready.js";
import { rowOf, showRows } from "./rows.js";
import { store } from "./store.js";
import { pageId } from "./tab.js";
import { isTyping } from "./typing.js";

const status = byId("status");
const faultList = byId("fault-list");
const worth = byId("worth");
const planButton = byId("plan");
const undoButton = byId("undo");
const redoButton = byId("redo");
let catalogue = null;

function refresh() {
  showForm(catalogue);
  tell();
  watchEstimate();
}

function tell() {
  const faults = store.seen?.faults ?? [];
  undoButton.disabled = !store.past.length;
  redoButton.disabled = !store.future.length;
  planButton.disabled = !store.open || faults.length > 0;
  if (store.failure) status.textContent = store.failure;
  else if (!store.open) status.textContent = "";
  else if (faults.length) status.textContent = faults.length === 1 ? "One thing to put right:" : `${faults.length} things to put right:`;
  else status.textContent = `${piecesOf(store.seen.pieces)} to cut.`;
  faultList.replaceChildren(...faults.map((fault) => {
    const place = nearest(fault.path);
    const head = place ? headOf(place.node, fault.path) : fault.key;
    const words = (head ? `${head}: ` : "") + inWords(fault);
    return h("li", {}, place ? button(words, () => place.focus(), { class: "plain" }) : words);
  }));
  tellDoubts(store.seen?.findings ?? []);
}

// What is odd and stops nothing: one list, beside its places in the form.
function tellDoubts(findings) {
  worth.hidden = !findings.length;
  worth.querySelector("summary").textContent = findings.length === 1 ? "One thing is worth a look" : `${findings.length} things are worth a look`;
  worth.querySelector("ul").replaceChildren(...findings.map(({ path, message }) => {
    const row = rowOf(path);
    const go = () => {
      row.unfold();
      nearest(path).focus();
    };
    return h("li", {}, row ? button(message, go, { class: "plain" }) : message);
  }));
}

// Whose field it is, as the form calls it: "Maren, 3 waist".
function headOf(node, path) {
  const field = node.querySelector("label, legend")?.textContent ?? node.querySelector("input")?.getAttribute("aria-label");
  const card = ["garment", "fabric", "piece", "notion", "costing"].includes(path[0])
    ? node.closest("article")?.getAttribute("aria-label") : null;
  return [card, node.classList.contains("faults") ? null : field].filter(Boolean).join(", ");
}

async function plan() {
  await store.queue;
  if (planButton.disabled) return;
  planButton.disabled = true;
  status.textContent = "Sending the order.";
  try {
    const seconds = Number(byId("seconds").value);
    await store.settle();
    const body = { order: store.seen.order, drawings: store.drawings, seconds, page: pageId(), entry: store.key, revision: store.revision };
    const { key } = await ask("/api/jobs", body);
    location.assign(`/plan/${key}`);
  } catch (why) {
    refused(why);
    planButton.disabled = false;
  }
}

// Whoever waits longer than a moment is told so; right after the start the program still loads.
const waits = byId("wait");
let waiting = 0;
function busy() {
  document.body.classList.add("busy");
  clearTimeout(waiting);
  waiting = setTimeout(() => { waits.textContent = "One moment: the order is being read."; }, 700);
}
function rested() {
  document.body.classList.remove("busy");
  clearTimeout(waiting);
  waits.textContent = "";
}
function refused({ message }) {
  status.textContent = message;
  waits.textContent = message;
}

const actions = { download: () => download(store), undo: () => store.undo(), redo: () => store.redo() };
for (const [name, act] of Object.entries(actions)) {
  for (const one of all(`[data-act="${name}"]`)) {
    one.addEventListener("click", async () => {
      busy();
      await act().catch(refused);
      rested();
    });
  }
}

// Ctrl+Z takes back the order's last change, except where words are being typed that are no change yet.
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || !store.open || document.querySelector("dialog[open]")) return;
  const key = event.key.toLowerCase();
  const back = key === "z" && !event.shiftKey;
  if (!back && key !== "y" && key !== "z") return;
  if (isTyping(document.activeElement)) return;
  event.preventDefault();
  if (back) store.undo();
  else store.redo();
});

// Whether it is kept, and what another tab or browser has made of it.
const elsewhere = byId("elsewhere");
let told = "";
function tellKept() {
  const { saved, unkept, inBrowser, untouched, other, parted } = store;
  const here = inBrowser ? "Kept in this browser alone." : "Not kept: download the file.";
  byId("kept").textContent = untouched ? "Kept once you change it." : unkept ? `${here} ${unkept}` : saved ? `Kept ${inTime(saved)}.` : "Keeping it.";
  const now = JSON.stringify([other?.revision, parted]);
  if (now === told) return;
  told = now;
  elsewhere.hidden = !other && !parted;
  const words = other ? [h("p", {}, `This order was changed in another tab or browser, ${inTime(other.saved)}. What you change here is kept beside that, as an order of its own.`),
    button("Show the later one", () => store.takeOther())]
    : [h("p", {}, "The order was changed in another tab or browser meanwhile. Both are kept: what you have here is an order of its own now."),
      h("p", {}, h("a", { href: `/order/${parted}` }, "To the other one"))];
  elsewhere.replaceChildren(...words);
}
store.addEventListener("kept", tellKept);
planButton.addEventListener("click", plan);
store.addEventListener("busy", busy);
store.addEventListener("change", () => {
  rested();
  refresh();
  tellKept();
});
estimates.addEventListener("change", showRows);
bindFile(store, (file) => bring(file, byDrawing));

store.begin();
steadily(fetchCatalogue, refused).then((found) => {
  catalogue = found;
  refresh();
}, refused);
