// A piece of a drawing with its corners and edges, to be chosen, dragged, or moved by keys.

import { h, s } from "./dom.js";

const LEAST_DRAG = 1.2;
const LEAST_GRAIN = 12;
const STEP_MM = 1;
const FAR = 5;

/**
 * @typedef {object} Hand what a hand does to the piece
 * @property {(edge: any, at_mm: number) => any} edge an edge is chosen, so far along it
 * @property {(corner: number) => any} corner a corner is chosen
 * @property {(corner: number, dx: number, dy: number) => any} move in mm, to the right and up
 * @property {(edge: any, by: number) => any} bend in mm, outwards
 * @property {(deg: number) => any} grain drawn from tail to head, from the x axis
 * @property {(words: string) => any} tell what is under the hand
 */

/** @param {any} piece @param {any} photograph @param {string} tool @param {Hand} hand @param {(mm: number) => string} told */
export function markPicture(piece, photograph, tool, hand, told) {
  const [left, top, wide, tall] = piece.box;
  const size = Math.max(wide, tall);
  const px = size / 420;
  const line = (kind, d) => s("path", { class: kind, d });
  const below = s("g", {},
    photograph && s("image", { href: photograph.content, x: photograph.box[0], y: photograph.box[1], width: photograph.box[2], height: photograph.box[3], preserveAspectRatio: "none" }),
    line(photograph ? "cut clear" : "cut", piece.outline),
    photograph && line("line", piece.outline),
    piece.fold && line("fold", piece.fold),
    piece.seams.map((one) => line("seam", one.path)),
    piece.notches.map(([a, b]) => line("notch", `M${a}L${b}`)),
    arrow(piece.grain, 9 * px));
  const edges = piece.edges.map((edge) => s("path", { class: "edge", d: edge.path, tabindex: "0", role: "button",
    "aria-label": `${piece.name}: edge from corner ${edge.ends[0]} to ${edge.ends[1]}` }));
  const corners = piece.corners.map(([x, y], index) => s("g", { class: "corner", tabindex: "0", role: "button", transform: `translate(${x} ${y})`,
    "aria-label": `${piece.name}: corner ${index + 1}` },
  s("circle", { class: "touch", r: 15 * px }), s("circle", { class: "dot", r: 5 * px })));
  const numbers = piece.corners.map((corner, index) => {
    const [x, y] = beside(piece, corner, index, 17 * px);
    return s("text", { x, y: y + 5 * px, "font-size": 15 * px, "text-anchor": "middle", "aria-hidden": "true" }, String(index + 1));
  });
  const trail = s("path", { class: "trail" });
  const picture = s("svg", { class: `marking at-${tool}`, viewBox: piece.box.join(" "), role: "group", "aria-label": `${piece.name}, its corners numbered` },
    below, s("g", { class: photograph ? "over" : "" }, edges, numbers, corners), trail);
  const at = (event) => {
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
    return [point.x, point.y];
  };
  const own = { piece, edges, corners, trail, picture, tool, hand, at, px, told };
  drags(own);
  keys(own);
  return h("div", { class: "marking-frame" }, picture);
}

function arrow([tail, head], size) {
  const way = Math.atan2(head[1] - tail[1], head[0] - tail[0]);
  const wing = (turn) => [head[0] - size * Math.cos(way + turn), head[1] - size * Math.sin(way + turn)];
  return s("path", { class: "grain", d: `M${tail}L${head}M${wing(0.45)}L${head}L${wing(-0.45)}` });
}

// Where a corner's number stands: away from the two edges that meet there.
function beside(piece, [x, y], index, off) {
  const way = (d, end) => {
    const points = d.slice(1).split("L").map((one) => one.split(" ").map(Number));
    if (end) points.reverse();
    const far = points.find(([a, b]) => Math.hypot(a - x, b - y) > off) ?? points.at(-1);
    const long = Math.hypot(far[0] - x, far[1] - y) || 1;
    return [(far[0] - x) / long, (far[1] - y) / long];
  };
  const count = piece.edges.length;
  const [a, b] = [way(piece.edges[index].path, false), way(piece.edges[(index + count - 1) % count].path, true)];
  const away = [-a[0] - b[0], -a[1] - b[1]];
  const long = Math.hypot(...away);
  return long < 0.05 ? [x + off * a[1], y - off * a[0]] : [x + (off * away[0]) / long, y + (off * away[1]) / long];
}

// How far along an edge the place nearest to a point is.
function along(path, [x, y]) {
  const long = path.getTotalLength();
  const many = Math.max(20, Math.ceil(long));
  let best = [Infinity, 0];
  for (let step = 0; step <= many; step += 1) {
    const gone = (long * step) / many;
    const spot = path.getPointAtLength(gone);
    const off = Math.hypot(spot.x - x, spot.y - y);
    if (off < best[0]) best = [off, gone];
  }
  return best[1];
}

// So far a point lies outside of the straight line between an edge's ends, compared with another.
function outwards(edge, piece, from, to) {
  const [a, b] = edge.ends.map((end) => piece.corners[end - 1]);
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  // The outline runs anticlockwise to the eye: outside is at its right.
  return ((to[0] - from[0]) * (a[1] - b[1]) + (to[1] - from[1]) * (b[0] - a[0])) / long;
}

function drags(own) {
  const { picture, trail, hand } = own;
  let drag = null;
  picture.addEventListener("pointerdown", (event) => {
    if (event.button > 0) return;
    const edge = own.edges.indexOf(event.target);
    const corner = own.corners.findIndex((one) => one.contains(event.target));
    const takes = (own.tool === "move" && corner >= 0) || (own.tool === "bend" && edge >= 0) || own.tool === "grain";
    drag = { edge, corner, from: own.at(event), free: takes };
    if (!takes) return;
    event.preventDefault();
    picture.setPointerCapture(event.pointerId);
  });
  picture.addEventListener("pointermove", (event) => {
    if (!drag?.free) return;
    const to = own.at(event);
    trail.setAttribute("d", `M${drag.from}L${to}`);
    if (own.tool === "move") own.corners[drag.corner].setAttribute("transform", `translate(${to})`);
    hand.tell(saying(own, drag, to));
  });
  picture.addEventListener("pointercancel", () => {
    drag = null;
    trail.removeAttribute("d");
  });
  picture.addEventListener("pointerup", (event) => {
    if (!drag) return;
    const [{ edge, corner, from, free }, to] = [drag, own.at(event)];
    drag = null;
    trail.removeAttribute("d");
    const [dx, dy] = [to[0] - from[0], from[1] - to[1]];
    const far = Math.hypot(dx, dy);
    if (free && own.tool === "grain" && far >= LEAST_GRAIN) hand.grain((Math.atan2(dy, dx) * 180) / Math.PI);
    else if (free && own.tool === "move") far >= LEAST_DRAG * own.px ? hand.move(corner + 1, dx, dy) : hand.corner(corner + 1);
    else if (free && own.tool === "bend") hand.bend(own.piece.edges[edge], outwards(own.piece.edges[edge], own.piece, from, to));
    else if (edge >= 0) hand.edge(own.piece.edges[edge], along(own.edges[edge], to));
  });
}

function saying(own, { edge, from }, to) {
  const [dx, dy] = [to[0] - from[0], from[1] - to[1]];
  if (own.tool === "grain") return `${Math.round((Math.atan2(dy, dx) * 180) / Math.PI)} degrees`;
  if (own.tool === "bend") return bentBy(own, outwards(own.piece.edges[edge], own.piece, from, to));
  return movedBy(own, dx, dy);
}

const bentBy = ({ told }, by) => `${told(Math.abs(by))} ${by < 0 ? "inwards" : "outwards"}`;
const movedBy = ({ told }, dx, dy) => `${told(Math.abs(dx))} to the ${dx < 0 ? "left" : "right"}, ${told(Math.abs(dy))} ${dy < 0 ? "down" : "up"}`;

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

// Enter chooses. With a tool that moves, arrows move first, by 1 mm or with Shift by 5; Escape leaves it.
function keys(own) {
  const { hand } = own;
  const each = (node, edge, corner) => {
    let moved = [0, 0];
    const spot = () => (corner >= 0 ? own.piece.corners[corner] : null);
    const show = () => {
      if (corner >= 0) node.setAttribute("transform", `translate(${spot()[0] + moved[0]} ${spot()[1] - moved[1]})`);
      hand.tell(own.tool === "bend" ? bentBy(own, moved[1]) : movedBy(own, moved[0], moved[1]));
    };
    const leave = () => {
      if (moved[0] === 0 && moved[1] === 0) return;
      moved = [0, 0];
      show();
    };
    node.addEventListener("focus", () => hand.tell(corner >= 0 ? `corner ${corner + 1}` : `corner ${edge.ends[0]} to ${edge.ends[1]}, ${own.told(edge.mm)}`));
    node.addEventListener("blur", leave);
    node.addEventListener("keydown", (event) => {
      const arrow = ARROWS[event.key];
      if (arrow && own.tool === (corner >= 0 ? "move" : "bend")) {
        moved = moved.map((value, side) => value + arrow[side] * STEP_MM * (event.shiftKey ? FAR : 1));
        show();
      } else if (event.key === "Enter" || event.key === " ") {
        const [dx, dy] = moved;
        moved = [0, 0];
        if (own.tool === "move" && corner >= 0) (dx || dy) ? hand.move(corner + 1, dx, dy) : hand.corner(corner + 1);
        else if (own.tool === "bend" && edge) hand.bend(edge, dy);
        else if (edge) hand.edge(edge, edge.mm / 2);
      } else if (event.key === "Escape") leave();
      else return;
      event.preventDefault();
    });
  };
  own.edges.forEach((node, index) => each(node, own.piece.edges[index], -1));
  own.corners.forEach((node, index) => each(node, null, index));
}
