// Lines in space: the tool's path, and the outlines of what stands. Seven numbers a corner: place,
// place in the program, length along, rapid or not.

import { CLOCKWISE, RAPID, WAIT, isKnown, tipAt } from "./program.js";

const CHORD = 0.05; // mm between an arc and what is drawn for it
const OUTLINE = -1; // place in the program of what does not belong to it

export function makeLines(gl, corners) {
  const array = gl.createVertexArray();
  const buffer = gl.createBuffer();
  gl.bindVertexArray(array);
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  gl.bufferData(gl.ARRAY_BUFFER, new Float32Array(corners), gl.STATIC_DRAW);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 24, 0);
  gl.enableVertexAttribArray(1);
  gl.vertexAttribPointer(1, 3, gl.FLOAT, false, 24, 12);
  gl.bindVertexArray(null);
  const count = corners.length / 6;
  return {
    draw(from = 0, to = count) {
      if (to <= from) return;
      gl.bindVertexArray(array);
      gl.drawArrays(gl.LINES, from, to - from);
    },
  };
}

// The whole path, and for each step the first of its corners.
export function pathCorners(program) {
  const { steps } = program;
  const out = [];
  const firsts = new Int32Array(steps.count + 1);
  let along = 0;
  for (let k = 0; k < steps.count; k += 1) {
    firsts[k] = out.length / 6;
    if (steps.kind[k] === WAIT || !isKnown(steps, k)) continue;
    const parts = partsOf(steps, k);
    const rapid = steps.kind[k] === RAPID ? 1 : 0;
    let from = tipAt(steps, k, 0);
    for (let n = 1; n <= parts; n += 1) {
      const to = tipAt(steps, k, n / parts);
      const long = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
      out.push(...from, k + (n - 1) / parts, along, rapid);
      along += long;
      out.push(...to, k + n / parts, along, rapid);
      from = to;
    }
  }
  firsts[steps.count] = out.length / 6;
  return { corners: out, firsts };
}

// Straight ones too, so that the border of past and future lies near the tool.
function partsOf(steps, k) {
  if (steps.kind[k] < CLOCKWISE) return 1;
  const angle = 2 * Math.acos(Math.max(0.5, 1 - CHORD / Math.max(steps.radius[k], CHORD)));
  return Math.max(1, Math.ceil(Math.abs(steps.sweep[k]) / angle));
}

// Closed outlines (x, y, x, y ...) at a height.
export function outlineCorners(loops, z) {
  const out = [];
  for (const loop of loops) {
    let along = 0;
    for (let k = 0; k < loop.length; k += 2) {
      const [x0, y0] = [loop[k], loop[k + 1]];
      const [x1, y1] = [loop[(k + 2) % loop.length], loop[(k + 3) % loop.length]];
      out.push(x0, y0, z, OUTLINE, along, 0);
      along += Math.hypot(x1 - x0, y1 - y0);
      out.push(x1, y1, z, OUTLINE, along, 0);
    }
  }
  return out;
}
