// The order file: to read, to change, to download, to bring.

import { all, button, byId, h } from "./dom.js";

const LARGEST = 5_000_000;

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
    if (store.open && text.value !== store.seen.order) text.value = store.seen.order;
    const whole = (store.seen?.faults ?? []).filter((one) => !one.path.length && one.key);
    told.textContent = whole.map((one) => `${one.key}: ${one.message} ${one.remedy}`).join(" ");
  });
  for (const control of all("input[data-open]")) {
    control.addEventListener("change", () => {
      const [file] = control.files;
      if (file) take(file);
      control.value = "";
    });
  }
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer.files;
    if (file) take(file, true);
  });

  function refuse(words) {
    told.textContent = words;
    byId("status").textContent = words;
    byId("wait").textContent = words; // where no order is open yet
  }

  async function take(file, asks = false) {
    await store.queue; // an order that is still being read comes first
    if (/\.(dxf|svg|pdf)$/i.test(file.name)) {
      const wrong = store.open ? await drawn(file)
        : `${file.name} is a drawing of pieces. Begin an order first; then the drawing can be added to it.`;
      if (wrong) refuse(wrong);
      return;
    }
    if (file.size > LARGEST) {
      refuse(`${file.name} is far too large for an order.`);
      return;
    }
    const order = await file.text();
    if (/[\0\ufffd]/.test(order)) refuse(`${file.name} is no order: an order is a file of text, whose name ends in .toml.`);
    else if (!asks || !store.open || (await agreed(file.name, store.table.name))) await store.load(order);
  }
}

// A file that is dropped takes no order's place unasked.
function agreed(file, name) {
  return new Promise((resolve) => {
    const dialog = h("dialog", { "aria-label": "Open another order" },
      h("h2", {}, `Open ${file}?`),
      h("p", {}, `It takes the place of ${name ? `“${name}”` : "the order that is open"}. Undo brings that back.`),
      h("div", { class: "dialog-acts" }, button("Open it", () => dialog.close("open"), { class: "primary" }), button("Keep this order", () => dialog.close())));
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue === "open");
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}
