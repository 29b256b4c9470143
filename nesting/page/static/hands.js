// Fingers, mouse and keys on a board: drag parts, pan, pinch, and what the keys do.

const STEP_MM = { cm: [10, 1], mm: [10, 1], in: [12.7, 25.4 / 16] };

export function follow(board, desk) {
  const { node } = board;
  const fingers = new Map();
  let drag = null;
  let pinch = null;

  const spread = () => {
    const [a, b] = [...fingers.values()];
    return { far: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY), x: (a.clientX + b.clientX) / 2, y: (a.clientY + b.clientY) / 2 };
  };
  const within = (x, y) => {
    const frame = node.getBoundingClientRect();
    return [x - frame.left, y - frame.top];
  };

  const under = (event) => {
    const key = event.target.closest?.(".part")?.dataset.key;
    return key ? desk.table.parts.find((one) => one.key === key) : null;
  };
  node.addEventListener("pointerover", (event) => { if (!drag) desk.hover(under(event) ?? desk.chosen); });
  node.addEventListener("pointerleave", () => desk.hover(desk.chosen));

  node.addEventListener("pointerdown", (event) => {
    if (event.button > 0 || desk.busy) return;
    fingers.set(event.pointerId, event);
    node.setPointerCapture(event.pointerId);
    if (fingers.size === 2) {
      if (drag?.part) desk.letGo(drag.part, drag.moved);
      drag = null;
      pinch = spread();
      return;
    }
    if (desk.measuring) {
      drag = { tape: board.at(event) };
      return;
    }
    const part = under(event);
    drag = { part, from: board.at(event), start: part && [part.x, part.y], last: event, moved: false };
    if (part) desk.choose(part);
  });

  // One redraw a frame, however often the pointer tells.
  let due = null;
  node.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, event);
    if (pinch && fingers.size === 2) {
      const next = spread();
      board.zoom(next.far / Math.max(1, pinch.far), within(next.x, next.y));
      board.pan(next.x - pinch.x, next.y - pinch.y);
      pinch = next;
      return;
    }
    if (!drag) return;
    drag.next = event;
    due ??= requestAnimationFrame(() => {
      due = null;
      if (drag) step();
    });
  });

  function step() {
    const event = drag.next;
    if (!event) return;
    if (drag.tape) {
      board.measureOut([drag.tape, board.at(event)]);
      return;
    }
    if (!drag.part) {
      board.pan(event.clientX - drag.last.clientX, event.clientY - drag.last.clientY);
      drag.last = event;
      return;
    }
    if (!drag.moved && Math.hypot(event.clientX - drag.last.clientX, event.clientY - drag.last.clientY) < 4) return;
    drag.moved = true;
    const [x, y] = board.at(event);
    desk.move(drag.part, drag.start[0] + x - drag.from[0], drag.start[1] + y - drag.from[1]);
  }

  const end = (event) => {
    fingers.delete(event.pointerId);
    if (fingers.size < 2) pinch = null;
    if (!drag) return;
    step();
    const { part, moved } = drag;
    drag = null;
    if (part && moved) desk.letGo(part, true);
  };
  node.addEventListener("pointerup", end);
  node.addEventListener("pointercancel", end);

  node.addEventListener("wheel", (event) => {
    // The page scrolls as ever; with Ctrl, or once the drawing has the focus, the wheel zooms.
    if (!event.ctrlKey && !event.metaKey && document.activeElement !== node) return;
    event.preventDefault();
    board.zoom(Math.exp(-event.deltaY / 400), within(event.clientX, event.clientY));
  }, { passive: false });

  const nudge = (dx, dy) => (event) => {
    const [wide, fine] = STEP_MM[desk.table.data.unit] ?? STEP_MM.cm;
    const by = event.shiftKey ? fine : wide;
    if (event.altKey || !desk.chosen) board.pan(-40 * dx, 40 * dy);
    else desk.nudge(dx * by, dy * by);
  };
  const keys = {
    ArrowLeft: nudge(-1, 0), ArrowRight: nudge(1, 0), ArrowUp: nudge(0, 1), ArrowDown: nudge(0, -1),
    r: () => desk.turn(), t: () => desk.tilt(), m: () => desk.mirror(), p: () => desk.pin(), f: () => desk.finishRound(), o: () => desk.changeOver(), l: () => desk.measure(),
    n: (event) => desk.step(event.shiftKey ? -1 : 1), N: () => desk.step(-1),
    "+": () => board.zoom(1.25), "=": () => board.zoom(1.25), "-": () => board.zoom(0.8), 0: () => board.fit(),
    Escape: () => (desk.measuring ? desk.measure() : desk.choose(null)),
  };
  node.addEventListener("keydown", (event) => {
    if (desk.busy) return;
    if (event.ctrlKey || event.metaKey) {
      if (event.key.toLowerCase() === "z") desk.back(event.shiftKey ? 1 : -1);
      else if (event.key.toLowerCase() === "y") desk.back(1);
      else return;
      event.preventDefault();
      return;
    }
    const act = keys[event.key];
    if (!act) return;
    event.preventDefault();
    act(event);
  });
}
