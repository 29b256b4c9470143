// The shelf: all orders side by side. What is done here can be undone, also after a reload.

import { ask, steadily } from "./ask.js";
import { all, byId, button, h } from "./dom.js";
import { beginnings, bindOpening } from "./opening.js";
import { deliver, newKey, send } from "./outbox.js";
import { orderCard } from "./ordercard.js";
import { bringFile, shelfFoot } from "./shelffoot.js";

const place = byId("orders");
const search = byId("search");
const said = byId("said");
const waits = byId("wait");
const refuse = (/** @type {string} */ words) => { waits.textContent = words; };

/** @type {any} */ let shelf = { orders: [], folder: "" };
/** @type {(() => Promise<any>) | null} */ let back = null;
let shown = "";

async function refresh() {
  const { left, why } = await deliver();
  let silent = false;
  try {
    shelf = await steadily(() => ask("/api/shelf"), ({ message }) => {
      silent = true;
      refuse(message);
    });
    tellFault(left.length ? `${left.length === 1 ? "One order is" : `${left.length} orders are`} kept in this browser alone: ${why}` : "");
  } catch (refused) {
    shelf = { orders: [], folder: "" };
    tellFault(refused.message);
  }
  if (silent) refuse("");
  // What only the browser has stands with the others.
  const here = left.filter(([key]) => !shelf.orders.some((one) => one.key === key))
    .map(([key, { name, about, when }]) => ({ key, name, about, saved: new Date(when).toISOString(), plans: [], gone: "", beside: "", here: true }));
  shelf.orders = [...here, ...shelf.orders];
  show();
}

function tellFault(/** @type {string} */ words) {
  const fault = byId("shelf-fault");
  fault.hidden = !words;
  fault.replaceChildren(...(words ? [h("p", {}, words)] : []));
}

const isMeant = ({ name, about }, /** @type {string} */ asked) => asked.toLowerCase().split(/\s+/)
  .every((word) => [name, ...about].join(" ").toLowerCase().includes(word));

function show() {
  const there = shelf.orders.filter((one) => !one.gone);
  document.body.classList.toggle("has-orders", there.length > 0);
  const found = there.filter((one) => isMeant(one, search.value.trim()));
  byId("none").textContent = there.length && !found.length ? "No order has these words." : "";
  const names = new Map(there.map((one) => [one.key, one.name]));
  const now = JSON.stringify(found);
  if (now !== shown) place.replaceChildren(...found.map((one) => h("li", {}, orderCard(one, names, { copy, remove }))));
  shown = now;
  byId("shelf-foot").replaceChildren(...shelfFoot(shelf, { putBack, erase, bring }));
}

// One thing at a time, and then the shelf as it is.
async function act(/** @type {() => Promise<any>} */ run) {
  document.body.classList.add("busy");
  try {
    await run();
    refuse("");
    await refresh();
  } catch (refused) {
    refuse(refused.message || "The page's own program failed. Nothing was changed.");
  }
  document.body.classList.remove("busy");
}

function say(/** @type {string} */ words, /** @type {(() => Promise<any>) | null} */ undo = null) {
  back = undo;
  said.replaceChildren(h("p", {}, words), undo ? button("Undo", goBack) : "");
}

function goBack() {
  const undo = back;
  if (!undo) return;
  say("Taken back.");
  act(undo);
}

const setGone = (/** @type {string} */ key, /** @type {boolean} */ gone) => ask(`/api/shelf/${key}/gone`, { gone });
const called = ({ name }) => `“${name || "an order without a name"}”`;

const remove = (order) => act(async () => {
  await setGone(order.key, true);
  say(`${called(order)} is deleted.`, () => setGone(order.key, false));
});

const putBack = (order) => act(async () => {
  await setGone(order.key, false);
  say(`${called(order)} is back.`, () => setGone(order.key, true));
});

const erase = (order) => act(async () => {
  await ask(`/api/shelf/${order.key}/erase`, {});
  say(`${called(order)} is erased, with its plans.`);
});

// A copy is called one; where its text can't be changed, it stays as it is.
const copy = (line) => act(async () => {
  const { order, drawings, about, name } = await ask(`/api/shelf/${line.key}`);
  const edits = [{ do: "set", path: ["name"], value: `${name}, copy` }];
  const seen = await ask("/api/look", { order, drawings, edits });
  const key = newKey();
  await send(key, { order: seen.order, drawings, about, name: String(seen.table.name ?? name), way: "", revision: newKey(), after: [] });
  say(`${called(line)} is copied.`, () => setGone(key, true));
});

const bring = (/** @type {File} */ file) => act(async () => {
  const count = await bringFile(file, refuse);
  say(count ? `${count === 1 ? "One order was" : `${count} orders were`} brought from ${file.name}.` : `All orders of ${file.name} are here already.`);
});

for (const [name, run] of Object.entries(beginnings)) {
  for (const one of all(`[data-act="${name}"]`)) one.addEventListener("click", () => run().catch(({ message }) => refuse(message)));
}
bindOpening({
  refuse,
  drawn: (file) => `${file.name} is a drawing of pieces. Begin an order first; then the drawing can be added to it.`,
});
search.addEventListener("input", show);
document.addEventListener("keydown", (event) => {
  const inText = /** @type {any} */ (document.activeElement).matches("input[type=text]");
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && back && !inText) {
    event.preventDefault();
    goBack();
  }
});
// Other tabs and browsers put orders here too.
document.addEventListener("visibilitychange", () => { if (!document.hidden) refresh(); });
window.addEventListener("pageshow", (event) => { if (event.persisted) refresh(); });
refresh();
