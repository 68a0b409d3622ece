// What a tool's end sweeps off a grid of heights: exact in Z, by cells' centres in plan.
// `heights` is a Float32Array of rows; `box` gathers which cells changed: i0, i1, j0, j1.

import { FULL_TURN } from "./say.js";

export const AIR = -1e6;
const SKIN = 1e-3; // mm: thinner than that is no material
const SLOPE_STEP = 0.02; // mm: a sloping move by an end that is not flat goes in such steps

// `bottoms`: where the material of each cell ends below; one value for all of a fresh block.
export function makeSweeper(grid, heights, bottoms) {
  const { x0, y0, pitch, nx, ny } = grid;
  const state = { removed: 0, box: null };

  function lower(at, floor, i, j) {
    const old = heights[at];
    if (old <= floor + SKIN) return;
    const bottom = typeof bottoms === "number" ? bottoms : bottoms[at];
    const stays = Math.max(floor, bottom);
    state.removed += (old - stays) * pitch * pitch;
    heights[at] = floor <= bottom ? AIR : floor;
    const box = state.box;
    if (i < box[0]) box[0] = i;
    if (i > box[1]) box[1] = i;
    if (j < box[2]) box[2] = j;
    if (j > box[3]) box[3] = j;
  }

  // Calls `visit(x, y, at, i, j)` for the cells of rows low..high between the ends `span` gives.
  function rows(low, high, span, visit) {
    const j0 = Math.max(0, Math.ceil((low - y0) / pitch));
    const j1 = Math.min(ny - 1, Math.floor((high - y0) / pitch));
    for (let j = j0; j <= j1; j += 1) {
      const y = y0 + j * pitch;
      const [a, b] = span(y);
      const i1 = Math.min(nx - 1, Math.floor((b - x0) / pitch));
      for (let i = Math.max(0, Math.ceil((a - x0) / pitch)); i <= i1; i += 1) {
        visit(x0 + i * pitch, y, j * nx + i, i, j);
      }
    }
  }

  // A straight move of tool `t` from a to b (x, y, z each).
  function line(t, a, b) {
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const drop = b[2] - a[2];
    if (length < 1e-6 || Math.abs(drop) < 1e-9) return capsule(t, a, b, Math.min(a[2], b[2]));
    if (isFlat(t)) return ramp(t.radius, a, b, length, drop);
    return inSteps(Math.abs(drop), (u, v) => {
      const [p, q] = [between(a, b, u), between(a, b, v)];
      capsule(t, p, q, Math.min(p[2], q[2]));
    });
  }

  function capsule(t, a, b, z) {
    const span = capsuleSpan(a, b, t.radius);
    const [low, high] = [Math.min(a[1], b[1]) - t.radius, Math.max(a[1], b[1]) + t.radius];
    if (isFlat(t)) {
      return rows(low, high, span, (x, y, at, i, j) => lower(at, z, i, j));
    }
    return rows(low, high, span, (x, y, at, i, j) => {
      const away = Math.hypot(...toSegment(a, b, x, y));
      lower(at, z + riseOf(t, away), i, j);
    });
  }

  // A flat end down or up a straight slope: each cell by the lowest moment that covers it.
  function ramp(r, a, b, length, drop) {
    const ux = (b[0] - a[0]) / length;
    const uy = (b[1] - a[1]) / length;
    const way = drop < 0 ? 1 : -1;
    const [low, high] = [Math.min(a[1], b[1]) - r, Math.max(a[1], b[1]) + r];
    rows(low, high, capsuleSpan(a, b, r), (x, y, at, i, j) => {
      const along = (x - a[0]) * ux + (y - a[1]) * uy;
      const across = (y - a[1]) * ux - (x - a[0]) * uy;
      const half = Math.sqrt(Math.max(0, r * r - across * across));
      const s = Math.min(length, Math.max(0, along + way * half));
      lower(at, a[2] + (drop * s) / length, i, j);
    });
  }

  // An arc about (cx, cy) from angle `first` over `sweep`, with the tip from z0 to z1.
  function arc(t, c, first, sweep, z0, z1) {
    if (Math.abs(z1 - z0) < 1e-9 || isFlat(t)) return ring(t, c, first, sweep, z0, z1);
    return inSteps(Math.abs(z1 - z0), (u, v) => {
      const z = Math.min(z0 + u * (z1 - z0), z0 + v * (z1 - z0));
      ring(t, c, first + u * sweep, (v - u) * sweep, z, z);
    });
  }

  function ring(t, [cx, cy, radius], first, sweep, z0, z1) {
    const box = arcBox(cx, cy, radius, first, sweep, t.radius);
    const [inner, outer] = [Math.max(0, radius - t.radius), radius + t.radius];
    const span = (y) => {
      const half = Math.sqrt(Math.max(0, outer * outer - (y - cy) ** 2));
      return [Math.max(box[0], cx - half), Math.min(box[2], cx + half)];
    };
    const low = Math.min(z0, z1);
    const floorAt =
      z0 === z1 ? levelArc(t, radius, first, sweep, z0) : helix(t, radius, first, sweep, z0, z1);
    rows(box[1], box[3], span, (x, y, at, i, j) => {
      if (heights[at] <= low) return;
      const [dx, dy] = [x - cx, y - cy];
      const d = Math.sqrt(dx * dx + dy * dy);
      if (d < inner || d > outer) return;
      const floor = floorAt(dx, dy, d);
      if (floor !== null) lower(at, floor, i, j);
    });
  }

  return {
    state, line, arc,
    start: () => { state.box = [nx, -1, ny, -1]; },
  };
}

const isFlat = (t) => t.corner === 0 && t.slope === 0;
const between = (a, b, u) => a.map((v, axis) => v + u * (b[axis] - v));

function inSteps(drop, cut) {
  const count = Math.max(1, Math.ceil(drop / SLOPE_STEP));
  for (let k = 0; k < count; k += 1) cut(k / count, (k + 1) / count);
}

// Height of the end's surface above the tip at a distance from the axis.
export function riseOf(t, away) {
  const beyond = Math.max(0, Math.min(away, t.radius) - t.flat);
  if (t.corner) return t.corner - Math.sqrt(Math.max(0, t.corner ** 2 - beyond ** 2));
  return beyond * t.slope;
}

// Left and right end of the row at y in the shape that a disc sweeps from a to b.
function capsuleSpan(a, b, r) {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const ux = length > 1e-9 ? (b[0] - a[0]) / length : 1;
  const uy = length > 1e-9 ? (b[1] - a[1]) / length : 0;
  return (y) => {
    let low = Infinity;
    let high = -Infinity;
    for (const p of [a, b]) {
      const half2 = r * r - (y - p[1]) ** 2;
      if (half2 < 0) continue;
      low = Math.min(low, p[0] - Math.sqrt(half2));
      high = Math.max(high, p[0] + Math.sqrt(half2));
    }
    // the straight middle: 0 <= along <= length and |across| <= r, each a stretch of the row
    const dy = y - a[1];
    let [s, e] = strip(ux, -dy * uy, length - dy * uy);
    const [s2, e2] = strip(-uy, -r - dy * ux, r - dy * ux);
    s = Math.max(s, s2);
    e = Math.min(e, e2);
    if (s <= e) {
      low = Math.min(low, a[0] + s);
      high = Math.max(high, a[0] + e);
    }
    return [low, high];
  };
}

// Where low <= slope * s <= high.
function strip(slope, low, high) {
  if (Math.abs(slope) < 1e-12) return low <= 1e-12 && high >= -1e-12 ? [-Infinity, Infinity] : [1, 0];
  return slope > 0 ? [low / slope, high / slope] : [high / slope, low / slope];
}

function toSegment(a, b, x, y) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const length2 = dx * dx + dy * dy;
  const s = length2 < 1e-18 ? 0 : ((x - a[0]) * dx + (y - a[1]) * dy) / length2;
  const u = Math.min(1, Math.max(0, s));
  return [x - a[0] - u * dx, y - a[1] - u * dy];
}

// The floor that a level arc leaves under a point (dx, dy from the centre, d away), or null.
function levelArc(t, radius, first, sweep, z) {
  const sense = Math.sign(sweep);
  const [ax, ay] = [radius * Math.cos(first), radius * Math.sin(first)];
  const [bx, by] = [radius * Math.cos(first + sweep), radius * Math.sin(first + sweep)];
  const wide = Math.abs(sweep) > Math.PI;
  const whole = Math.abs(sweep) > FULL_TURN - 1e-9;
  const flat = isFlat(t);
  return (dx, dy, d) => {
    const after = sense * (ax * dy - ay * dx) >= 0;
    const before = sense * (dx * by - dy * bx) >= 0;
    const beside = whole || (wide ? after || before : after && before);
    const away = beside
      ? Math.abs(d - radius)
      : Math.sqrt(Math.min((dx - ax) ** 2 + (dy - ay) ** 2, (dx - bx) ** 2 + (dy - by) ** 2));
    if (away > t.radius) return null;
    return flat ? z : z + riseOf(t, away);
  };
}

// The same for a flat end on a helix: the height at the lowest moment that covers the point.
function helix(t, radius, first, sweep, z0, z1) {
  const [turn, sense, drop] = [Math.abs(sweep), Math.sign(sweep), z1 - z0];
  return (dx, dy, d) => {
    const own = mod(sense * (Math.atan2(dy, dx) - first));
    const reach = coveringAngles(d, own, turn, radius, t.radius);
    if (reach === null) return null;
    return z0 + (drop * (drop < 0 ? reach[1] : reach[0])) / turn;
  };
}

// First and last angle along the arc at which a disc of radius r covers a point that lies at
// distance d from the centre and at angle `own` along the arc. Null if it is never covered.
function coveringAngles(d, own, turn, radius, r) {
  if (d < 1e-9) return radius <= r ? [0, turn] : null;
  const cosine = (radius * radius + d * d - r * r) / (2 * radius * d);
  if (cosine > 1) return null;
  if (cosine <= -1) return [0, turn];
  const half = Math.acos(cosine);
  let low = Infinity;
  let high = -Infinity;
  for (const centre of [own - FULL_TURN, own, own + FULL_TURN]) {
    if (centre + half < 0 || centre - half > turn) continue;
    low = Math.min(low, Math.max(0, centre - half));
    high = Math.max(high, Math.min(turn, centre + half));
  }
  return low <= high ? [low, high] : null;
}

const mod = (angle) => ((angle % FULL_TURN) + FULL_TURN) % FULL_TURN;

function arcBox(cx, cy, radius, first, sweep, r) {
  const xs = [];
  const ys = [];
  const add = (angle) => {
    xs.push(cx + radius * Math.cos(angle));
    ys.push(cy + radius * Math.sin(angle));
  };
  add(first);
  add(first + sweep);
  const [low, high] = sweep > 0 ? [first, first + sweep] : [first + sweep, first];
  for (let q = Math.ceil(low / (Math.PI / 2)); q * (Math.PI / 2) <= high; q += 1) {
    add(q * (Math.PI / 2));
  }
  return [Math.min(...xs) - r, Math.min(...ys) - r, Math.max(...xs) + r, Math.max(...ys) + r];
}
