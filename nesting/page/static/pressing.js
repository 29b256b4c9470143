// While a button of the mouse is held down, what is under it stays: else the click would be lost.

let pressed = false;
let waiting = null;

function follow(/** @type {PointerEvent} */ event) {
  pressed = event.buttons > 0;
  if (!pressed && waiting) setTimeout(go); // after the click, which comes next
}

function go() {
  const then = waiting;
  waiting = null;
  then?.();
}

for (const name of /** @type {const} */ (["pointerdown", "pointermove", "pointerup", "pointercancel"])) {
  document.addEventListener(name, follow, { capture: true, passive: true });
}

// Does it now, or once no button is held down; of what waits, the last.
export function onceReleased(then) {
  waiting = then;
  if (!pressed) go();
}
