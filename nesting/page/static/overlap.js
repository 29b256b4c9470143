// Where pieces lie, and whether they overlap. Millimetres; y runs up.

const TOUCH_MM = 0.1; // pieces that reach less into each other only touch

export function turned(points, turnDeg, mirrored) {
  // Quarter turns are exact, as on the server.
  const exact = { 0: [1, 0], 90: [0, 1], 180: [-1, 0], "-90": [0, -1], "-180": [-1, 0] }[turnDeg];
  const [cos, sin] = exact ?? [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
  const flip = mirrored ? -1 : 1;
  return points.map(([x, y]) => [x * cos - flip * y * sin, x * sin + flip * y * cos]);
}

export const shifted = (points, dx, dy) => points.map(([x, y]) => [x + dx, y + dy]);

export function boxOf(points) {
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    if (x < box[0]) box[0] = x;
    if (y < box[1]) box[1] = y;
    if (x > box[2]) box[2] = x;
    if (y > box[3]) box[3] = y;
  }
  return box;
}

export const boxesMeet = (a, b, by = TOUCH_MM) =>
  a[0] < b[2] - by && b[0] < a[2] - by && a[1] < b[3] - by && b[1] < a[3] - by;

/** @param {number[]} point @param {number[][]} ring */
function insideDeep([x, y], ring) {
  let inside = false;
  let near = Infinity;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const [x0, y0] = ring[j];
    const [x1, y1] = ring[i];
    if ((y0 > y) !== (y1 > y) && x < ((x1 - x0) * (y - y0)) / (y1 - y0) + x0) inside = !inside;
    const dx = x1 - x0;
    const dy = y1 - y0;
    const along = dx * dx + dy * dy;
    const t = along ? Math.max(0, Math.min(1, ((x - x0) * dx + (y - y0) * dy) / along)) : 0;
    near = Math.min(near, Math.hypot(x - x0 - t * dx, y - y0 - t * dy));
  }
  return inside && near > TOUCH_MM;
}

// Where two edges cross by more than a touch, or null.
function crosses(a, b, c, d) {
  const side = (p, q, r) => ((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])) / (Math.hypot(q[0] - p[0], q[1] - p[1]) || 1);
  const c1 = side(a, b, c);
  const d1 = side(a, b, d);
  if (!(c1 > TOUCH_MM && d1 < -TOUCH_MM) && !(c1 < -TOUCH_MM && d1 > TOUCH_MM)) return null;
  const a1 = side(c, d, a);
  const b1 = side(c, d, b);
  if (!(a1 > TOUCH_MM && b1 < -TOUCH_MM) && !(a1 < -TOUCH_MM && b1 > TOUCH_MM)) return null;
  const t = a1 / (a1 - b1);
  return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
}

const edgesIn = (ring, box) => {
  const found = [];
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const [x0, y0] = ring[j];
    const [x1, y1] = ring[i];
    if (Math.max(x0, x1) >= box[0] && Math.min(x0, x1) <= box[2]
      && Math.max(y0, y1) >= box[1] && Math.min(y0, y1) <= box[3]) found.push([ring[j], ring[i]]);
  }
  return found;
};

// A point where two outlines overlap by more than a touch, or null.
export function overlapAt(one, other, oneBox, otherBox) {
  if (!boxesMeet(oneBox, otherBox)) return null;
  const both = [Math.max(oneBox[0], otherBox[0]), Math.max(oneBox[1], otherBox[1]),
    Math.min(oneBox[2], otherBox[2]), Math.min(oneBox[3], otherBox[3])];
  const edges = edgesIn(one, both);
  const others = edgesIn(other, both);
  for (const [a, b] of edges) {
    for (const [c, d] of others) {
      const at = crosses(a, b, c, d);
      if (at) return at;
    }
  }
  const within = ([x, y]) => x >= both[0] && x <= both[2] && y >= both[1] && y <= both[3];
  for (const [a, b] of edges) {
    for (const point of [a, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]]) if (within(point) && insideDeep(point, other)) return point;
  }
  for (const [a, b] of others) {
    for (const point of [a, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]]) if (within(point) && insideDeep(point, one)) return point;
  }
  // Outlines that run along each other all round: one covers the other.
  const middle = [(both[0] + both[2]) / 2, (both[1] + both[3]) / 2];
  return insideDeep(middle, one) && insideDeep(middle, other) ? middle : null;
}

// The point of a shape that is farthest from its outline, roughly: where a label goes.
export function roomiest(ring) {
  const box = boxOf(ring);
  let best = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
  let most = -1;
  for (let i = 1; i < 12; i += 1) {
    for (let j = 1; j < 12; j += 1) {
      const point = [box[0] + ((box[2] - box[0]) * i) / 12, box[1] + ((box[3] - box[1]) * j) / 12];
      if (!insideDeep(point, ring)) continue;
      let near = Infinity;
      for (let k = 0, l = ring.length - 1; k < ring.length; l = k, k += 1) {
        const [x0, y0] = ring[l];
        const dx = ring[k][0] - x0;
        const dy = ring[k][1] - y0;
        const t = Math.max(0, Math.min(1, ((point[0] - x0) * dx + (point[1] - y0) * dy) / (dx * dx + dy * dy || 1)));
        near = Math.min(near, Math.hypot(point[0] - x0 - t * dx, point[1] - y0 - t * dy));
      }
      if (near > most) [most, best] = [near, point];
    }
  }
  return { at: best, room: most, beside: beside(ring, best) };
}

// How far a level line runs inside from a point, to the nearer side.
/** @param {number[][]} ring @param {number[]} point */
function beside(ring, [x, y]) {
  let least = Infinity;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const [x0, y0] = ring[j];
    const [x1, y1] = ring[i];
    if ((y0 > y) !== (y1 > y)) least = Math.min(least, Math.abs(((x1 - x0) * (y - y0)) / (y1 - y0) + x0 - x));
  }
  return least;
}
