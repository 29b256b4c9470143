import { job } from "./job.js";

const live = document.getElementById("live");
job.addEventListener("news", ({ detail }) => {
  live.textContent = `${detail.state} ${Math.round(100 * detail.spent)} % ${detail.at} ${detail.message}`;
});
job.follow();
