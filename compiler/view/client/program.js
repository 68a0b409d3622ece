// The program as steps: where each starts and ends, how long it takes, what state it runs in.

import { FULL_TURN } from "./say.js";

const FINE = 10000;
export const WAIT = 0;
export const RAPID = 1;
export const LINE = 2;
export const CLOCKWISE = 3;

export function readProgram(data) {
  const { line, kind, x, y, z, centre, time, state, op, motion } = data.steps;
  const count = line.length;
  const column = () => new Float64Array(count);
  const steps = {
    count, line, kind, state, op, motion,
    x0: column(), y0: column(), z0: column(), x1: column(), y1: column(), z1: column(),
    cx: column(), cy: column(), radius: column(), first: column(), sweep: column(),
    time: column(), start: column(), bins: new Int32Array(count), bin0: new Int32Array(count),
  };
  const last = [0, 0, 0];
  const here = [NaN, NaN, NaN];
  let centres = 0;
  let t = 0;
  for (let k = 0; k < count; k += 1) {
    [steps.x0[k], steps.y0[k], steps.z0[k]] = here;
    if (kind[k] !== WAIT) {
      [x[k], y[k], z[k]].forEach((by, axis) => {
        if (by === null) here[axis] = NaN;
        else here[axis] = (last[axis] += by) / FINE;
      });
    }
    [steps.x1[k], steps.y1[k], steps.z1[k]] = here;
    if (kind[k] >= CLOCKWISE) {
      readArc(steps, k, centre[centres] / FINE, centre[centres + 1] / FINE);
      centres += 2;
    }
    steps.start[k] = t;
    steps.time[k] = time[k] / FINE;
    t += steps.time[k];
  }
  readBins(steps, data.engaged.counts);
  return {
    steps, total: t, states: data.states, degrees: data.engaged.degrees, depth: data.depth,
    text: data.text, operations: data.operations,
  };
}

function readArc(steps, k, cx, cy) {
  const ax = steps.x0[k] - cx;
  const ay = steps.y0[k] - cy;
  const bx = steps.x1[k] - cx;
  const by = steps.y1[k] - cy;
  const sense = steps.kind[k] === CLOCKWISE ? -1 : 1;
  let turn = (sense * Math.atan2(ax * by - ay * bx, ax * bx + ay * by) + FULL_TURN) % FULL_TURN;
  // an arc that ends where it starts goes all the way round
  if (Math.hypot(bx - ax, by - ay) < 1e-9) turn = FULL_TURN;
  steps.cx[k] = cx;
  steps.cy[k] = cy;
  steps.radius[k] = Math.hypot(ax, ay);
  steps.first[k] = Math.atan2(ay, ax);
  steps.sweep[k] = sense * turn;
}

function readBins(steps, counts) {
  const firsts = [0];
  counts.forEach((count, m) => firsts.push(firsts[m] + count));
  for (let k = 0; k < steps.count; k += 1) {
    const m = steps.motion[k];
    if (m < 0) continue;
    steps.bins[k] = counts[m];
    steps.bin0[k] = firsts[m];
  }
}

// Whether both ends are fixed by the text, so that the step can cut.
export function isKnown(steps, k) {
  return !Number.isNaN(
    steps.x0[k] + steps.y0[k] + steps.z0[k] + steps.x1[k] + steps.y1[k] + steps.z1[k],
  );
}

// Where the tip is, a share f of the way; NaN for axes that the text does not fix.
export function tipAt(steps, k, f) {
  if (steps.kind[k] === WAIT) return [steps.x1[k], steps.y1[k], steps.z1[k]];
  if (!isKnown(steps, k)) return [steps.x1[k], steps.y1[k], steps.z1[k]];
  const z = steps.z0[k] + f * (steps.z1[k] - steps.z0[k]);
  if (f >= 1) return [steps.x1[k], steps.y1[k], z];
  if (steps.kind[k] >= CLOCKWISE) {
    const angle = steps.first[k] + f * steps.sweep[k];
    const r = steps.radius[k];
    return [steps.cx[k] + r * Math.cos(angle), steps.cy[k] + r * Math.sin(angle), z];
  }
  return [
    steps.x0[k] + f * (steps.x1[k] - steps.x0[k]),
    steps.y0[k] + f * (steps.y1[k] - steps.y0[k]),
    z,
  ];
}

// Direction of travel seen from above, radians; NaN straight up or down.
export function headingAt(steps, k, f) {
  if (steps.kind[k] >= CLOCKWISE) {
    return steps.first[k] + f * steps.sweep[k] + Math.sign(steps.sweep[k]) * (Math.PI / 2);
  }
  const dx = steps.x1[k] - steps.x0[k];
  const dy = steps.y1[k] - steps.y0[k];
  return Math.hypot(dx, dy) < 1e-9 ? NaN : Math.atan2(dy, dx);
}

// The engaged angle there, degrees, or null where none was measured.
export function engagedAt(program, k, f) {
  const many = program.steps.bins[k];
  if (!many) return null;
  return program.degrees[program.steps.bin0[k] + Math.min(many - 1, Math.floor(f * many))];
}
