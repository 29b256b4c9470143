// What an order may hold, and pictures of the drafts: asked for once.

import { ask } from "./ask.js";

let first;
export const catalogue = () => (first ??= ask("/api/catalogue"));

let drawn;
export const pictures = () => (drawn ??= ask("/api/pictures"));
