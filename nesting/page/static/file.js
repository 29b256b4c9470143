// The order file: to read, to change, to download, to bring.

import { button, byId, h } from "./dom.js";
import { bindOpening } from "./opening.js";
import { isTyping } from "./typing.js";

export function save(name, content, type) {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

export async function download(store) {
  await store.queue;
  const stem = (store.table.name || "order").trim().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "") || "order";
  save(`${stem}.toml`, store.seen.order, "application/toml");
}

// `drawn` takes a drawing that is dropped on the page; anything else is an order.
export function bindFile(store, drawn) {
  const text = byId("file-text");
  const told = byId("file-fault");
  text.addEventListener("change", () => store.load(text.value, store.drawings));
  store.addEventListener("change", () => {
    if (store.open && text.value !== store.seen.order && !isTyping(text)) text.value = store.seen.order;
    const whole = (store.seen?.faults ?? []).filter((one) => !one.path.length && one.key);
    told.textContent = whole.map((one) => `${one.key}: ${one.message} ${one.remedy}`).join(" ");
  });
  function refuse(words) {
    told.textContent = words;
    byId("status").textContent = words;
    byId("wait").textContent = words; // where no order is open yet
  }

  bindOpening({
    refuse,
    async drawn(file) {
      await store.queue; // an order that is still being read comes first
      return drawn(file);
    },
    async agreed(name) {
      await store.queue;
      return agreed(name, store.table.name);
    },
  });
}

// A file that is dropped takes nobody to another order unasked.
function agreed(file, name) {
  return new Promise((resolve) => {
    const dialog = h("dialog", { "aria-label": "Open another order" },
      h("h2", {}, `Open ${file}?`),
      h("p", {}, `It goes on the shelf as another order; ${name ? `“${name}”` : "the one that is open"} stays there as it is.`),
      h("div", { class: "dialog-acts" }, button("Open it", () => dialog.close("open"), { class: "primary" }), button("Stay here", () => dialog.close())));
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue === "open");
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}
