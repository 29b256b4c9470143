// Words that somebody types and that are no change yet: never written over, never lost.

const WORDS = "textarea, input[type=text]";

const isChanged = ({ dataset, value }) => dataset.committed !== undefined && value !== dataset.committed;

export const isTyping = (control) => document.activeElement === control && isChanged(control);

const commit = (/** @type {any} */ { target }) => { if (target.matches(WORDS)) target.dataset.committed = target.value; };
document.addEventListener("focusin", commit);
document.addEventListener("change", commit, true);

// A browser tells of no change where a form was built anew under the words and they were set back.
document.addEventListener("focusout", (/** @type {any} */ { target }) => {
  if (target.matches(WORDS) && target.isConnected && isChanged(target)) target.dispatchEvent(new Event("change", { bubbles: true }));
});
