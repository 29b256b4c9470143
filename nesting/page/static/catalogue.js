// What an order may hold, and pictures of the drafts: asked for once.

import { ask } from "./ask.js";

const known = new Map();

// What was not answered is asked for again the next time.
function once(path) {
  if (!known.has(path)) {
    known.set(path, ask(path).catch((refused) => {
      known.delete(path);
      throw refused;
    }));
  }
  return known.get(path);
}

export const catalogue = () => once("/api/catalogue");
export const pictures = () => once("/api/pictures");
