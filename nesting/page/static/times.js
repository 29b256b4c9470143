// When something was kept, as people say it.

const day = (/** @type {Date} */ at) => new Date(at.getFullYear(), at.getMonth(), at.getDate()).getTime();

// "today, 16:20", "yesterday, 09:05", "12 November, 11:30", "12 November 2024, 11:30".
export function inTime(/** @type {string} */ told, now = new Date()) {
  const at = new Date(told);
  const clock = at.toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  const days = Math.round((day(now) - day(at)) / 86_400_000);
  if (days === 0 || days === 1) return `${days ? "yesterday" : "today"}, ${clock}`;
  const year = at.getFullYear() === now.getFullYear() ? {} : /** @type {const} */ ({ year: "numeric" });
  return `${at.toLocaleDateString("en-GB", { day: "numeric", month: "long", ...year })}, ${clock}`;
}
