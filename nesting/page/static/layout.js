// The layout of the cloth that is looked at, as soon as there is a plan of it.

import { Desk } from "./desk.js";
import { job } from "./job.js";

let desk = null;
let asked = 0;

async function show() {
  if (!job.cloth || !job.state?.files.length) return;
  const number = (asked += 1);
  let data;
  try {
    data = await job.steadily(() => job.question("layout", { cloth: job.cloth }), 4);
  } catch {
    return; // a plan of before this cloth was chosen; the next news brings it
  }
  if (number === asked) desk = new Desk(data, desk);
}

// What was refused leaves the layout as the hand has it.
job.on(["over"], (detail) => { if (detail.state === "done" || !desk) show(); });
job.on(["cloth"], show);
show(); // the job may have been over before this module had loaded
