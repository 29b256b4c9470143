// The layout of a plan: see, move, turn, pin.
import { job } from "./job.js";

job.addEventListener("over", () => {});
