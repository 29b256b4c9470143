// Another order: blank paper, the example, a file that is chosen or dropped. None takes an order's place.

import { ask } from "./ask.js";
import { all } from "./dom.js";
import { begin } from "./outbox.js";

const LARGEST = 5_000_000;
const american = /^en-(US|LR)|^my/.test(navigator.language);

const blank = (unit) => `name = "new order"
units = "${unit}"
seam_allowance = ${unit === "in" ? "0.375" : "1"}
hem_allowance = ${unit === "in" ? "1" : "2.5"}
`;

export const beginnings = {
  example: async () => begin((await ask("/api/example")).order, true),
  fresh: () => begin(blank(american ? "in" : "cm"), true),
};

// `drawn` takes a drawing and gives what is wrong with it; `agreed` asks before a dropped file is opened.
/** @param {{refuse: (words: string) => void, drawn: (file: File) => any, agreed?: (name: string) => Promise<boolean>}} how */
export function bindOpening({ refuse, drawn, agreed = async () => true }) {
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

  async function take(/** @type {File} */ file, dropped = false) {
    if (/\.(dxf|svg|pdf)$/i.test(file.name)) {
      const wrong = await drawn(file);
      if (wrong) refuse(wrong);
      return;
    }
    if (file.size > LARGEST) {
      refuse(`${file.name} is far too large for an order.`);
      return;
    }
    const order = await file.text();
    if (/[\0\ufffd]/.test(order)) refuse(`${file.name} is no order: an order is a file of text, whose name ends in .toml.`);
    else if (!dropped || (await agreed(file.name))) await begin(order).catch((refused) => refuse(refused.message));
  }
}
