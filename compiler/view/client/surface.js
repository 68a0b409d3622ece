// Faces on the graphics unit: one buffer for each patch, filled anew where the stock was cut.

import { BYTES, PATCH, makeFaces, makeMesher } from "./mesh.js";

// All four-cornered faces share one list of corners: 0 1 2, 0 2 3, 4 5 6 ...
export function makeCorners(gl) {
  let room = 0;
  const buffer = gl.createBuffer();
  return {
    buffer,
    reserve(faces) {
      if (faces <= room) return;
      room = Math.max(8192, 2 * faces);
      const list = new Uint32Array(room * 6);
      for (let f = 0; f < room; f += 1) {
        list.set([0, 1, 2, 0, 2, 3].map((c) => f * 4 + c), f * 6);
      }
      gl.bindVertexArray(null);
      gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ELEMENT_ARRAY_BUFFER, list, gl.STATIC_DRAW);
    },
  };
}

export function makeBatch(gl, corners) {
  const array = gl.createVertexArray();
  const buffer = gl.createBuffer();
  gl.bindVertexArray(array);
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 3, gl.FLOAT, false, BYTES, 0);
  gl.enableVertexAttribArray(1);
  gl.vertexAttribPointer(1, 4, gl.BYTE, false, BYTES, 12);
  gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, corners.buffer);
  gl.bindVertexArray(null);
  let [count, seen] = [0, 0];
  return {
    // `upper` faces are enough as long as one looks from above.
    fill(faces, upper = faces.count) {
      [count, seen] = [faces.count, upper];
      corners.reserve(count);
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.bufferData(gl.ARRAY_BUFFER, faces.data, gl.DYNAMIC_DRAW);
    },
    draw(below = true) {
      const many = below ? count : seen;
      if (!many) return;
      gl.bindVertexArray(array);
      gl.drawElements(gl.TRIANGLES, many * 6, gl.UNSIGNED_INT, 0);
    },
  };
}

// The cut stock: keeps track of the patches that no longer show it as it is.
export function makeSurface(gl, corners, stock) {
  const mesher = makeMesher(stock);
  const { across, down, reach } = mesher;
  const patches = Array.from({ length: across * down }, () => makeBatch(gl, corners));
  const stale = new Uint8Array(across * down).fill(1);
  const faces = makeFaces(4096);
  stock.dirty = (i0, i1, j0, j1) => {
    if (i0 > i1) return;
    const [p0, p1] = [i0 - reach, i1 + reach].map((i) => clamp(Math.floor(i / PATCH), across - 1));
    const [q0, q1] = [j0 - reach, j1 + reach].map((j) => clamp(Math.floor(j / PATCH), down - 1));
    for (let q = q0; q <= q1; q += 1) stale.fill(1, q * across + p0, q * across + p1 + 1);
  };
  return {
    renew() {
      for (let k = 0; k < stale.length; k += 1) {
        if (!stale[k]) continue;
        const upper = mesher.build(faces, k % across, Math.floor(k / across));
        patches[k].fill(faces, upper);
        stale[k] = 0;
      }
    },
    draw: (below) => patches.forEach((patch) => patch.draw(below)),
  };
}

function clamp(value, most) {
  return Math.max(0, Math.min(most, value));
}
