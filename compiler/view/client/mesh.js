// Heights as a surface: level faces joined into rectangles where neighbours agree, upright walls
// between cells that differ. One patch is 64 by 64 cells and is made anew only where it was cut.

import { AIR } from "./sweep.js";

export const PATCH = 64;
export const BYTES = 16; // a corner: x, y, z as float32, normal and kind as int8
export const KIND = {
  blank: 0, cut: 1, stands: 2, blankSide: 3, cutSide: 4, standsSide: 5,
  section: 6, sectionStands: 7, holding: 8, under: 9, harmed: 10, covered: 11, edge: 12, shank: 13,
};
const SAME = 1e-4; // mm
const AROUND = 3; // cells looked at for the direction of a wall

// A growing list of four-cornered faces.
export function makeFaces(capacity = 512) {
  let bytes = new ArrayBuffer(capacity * 4 * BYTES);
  let floats = new Float32Array(bytes);
  let small = new Int8Array(bytes);
  let count = 0;
  function grow() {
    const more = new ArrayBuffer(bytes.byteLength * 2);
    new Int8Array(more).set(small);
    [bytes, floats, small] = [more, new Float32Array(more), new Int8Array(more)];
  }
  return {
    get count() { return count; },
    get data() { return small.subarray(0, count * 4 * BYTES); },
    clear() { count = 0; },
    // corners: twelve numbers round the face; normal: three from -1 to 1
    add(corners, nx, ny, nz, kind) {
      if ((count + 1) * 4 * BYTES > bytes.byteLength) grow();
      for (let c = 0; c < 4; c += 1) {
        const at = (count * 4 + c) * BYTES;
        floats[at / 4] = corners[c * 3];
        floats[at / 4 + 1] = corners[c * 3 + 1];
        floats[at / 4 + 2] = corners[c * 3 + 2];
        small[at + 12] = nx * 127;
        small[at + 13] = ny * 127;
        small[at + 14] = nz * 127;
        small[at + 15] = kind;
      }
      count += 1;
    },
  };
}

export function makeMesher(stock) {
  const { grid, heights, labels } = stock;
  const { nx, ny, pitch } = grid;
  const tops = stock.standing.map((one) => one.top);
  const west = (i) => grid.x0 + (i - 0.5) * pitch;
  const south = (j) => grid.y0 + (j - 0.5) * pitch;
  // faces overlap by a hair, so that no light shows between them
  const hair = pitch * 0.03;

  function within(at, label) {
    return [-1, 1, -nx, nx].every((by) => labels[at + by] === label);
  }

  function kindOf(at) {
    const label = labels[at];
    const h = heights[at];
    if (label >= 2) {
      const top = tops[label - 2];
      if (h < top - 0.02) {
        // a cell on the very border says nothing: its centre lies within a hair of the wall
        if (!within(at, label)) return KIND.cut;
        stock.harmed = true;
        return KIND.harmed;
      }
      return h > top + 0.02 ? KIND.covered : KIND.stands;
    }
    return h > stock.top - SAME ? KIND.blank : KIND.cut;
  }

  function wallKind(high, low) {
    if (labels[low] === 0) return KIND.blankSide;
    return labels[high] >= 2 ? KIND.standsSide : KIND.cutSide;
  }

  function level(faces, under, i0, j0, i1, j1) {
    const width = i1 - i0;
    const open = new Int32Array(width).fill(-1); // row in which the rectangle at this run began
    const ends = new Int32Array(width);
    const flush = (a, upTo) => {
      if (open[a] < 0) return;
      const at = open[a] * nx + i0 + a;
      const z = heights[at];
      const [x0, x1] = [west(i0 + a) - hair, west(i0 + ends[a]) + hair];
      const [y0, y1] = [south(open[a]) - hair, south(upTo) + hair];
      faces.add([x0, y0, z, x1, y0, z, x1, y1, z, x0, y1, z], 0, 0, 1, kindOf(at));
      const b = stock.bottom;
      under.push([x0, y0, b, x0, y1, b, x1, y1, b, x1, y0, b]);
      open[a] = -1;
    };
    for (let j = j0; j < j1; j += 1) {
      let a = 0;
      while (a < width) {
        const at = j * nx + i0 + a;
        const h = heights[at];
        if (h === AIR) {
          flush(a, j);
          a += 1;
          continue;
        }
        const kind = kindOf(at);
        let e = a + 1;
        while (e < width && heights[at + e - a] === h && kindOf(at + e - a) === kind) e += 1;
        const before = open[a] >= 0 ? open[a] * nx + i0 + a : -1;
        const goesOn =
          before >= 0 && ends[a] === e && heights[before] === h && kindOf(before) === kind;
        if (!goesOn) {
          for (let c = a; c < e; c += 1) flush(c, j);
          open[a] = j;
          ends[a] = e;
        } else {
          for (let c = a + 1; c < e; c += 1) flush(c, j);
        }
        a = e;
      }
    }
    for (let a = 0; a < width; a += 1) flush(a, j1);
  }

  // Outward direction of the wall between two cells, from the cells around that stand higher.
  function outward(i, j, alongX, middle) {
    let gx = 0;
    let gy = 0;
    const [ci, cj] = alongX ? [i - 0.5, j] : [i, j - 0.5]; // the border's middle
    const last = [Math.floor(ci + AROUND), Math.floor(cj + AROUND)];
    for (let b = Math.max(0, j - AROUND); b <= Math.min(ny - 1, last[1]); b += 1) {
      for (let a = Math.max(0, i - AROUND); a <= Math.min(nx - 1, last[0]); a += 1) {
        if (heights[b * nx + a] <= middle) continue;
        gx -= a - ci;
        gy -= b - cj;
      }
    }
    const long = Math.hypot(gx, gy);
    return long < 1e-9 ? null : [gx / long, gy / long];
  }

  // Walls along one line of cell borders; neighbours that agree are one face.
  function border(faces, count, cellsAt, place) {
    let open = null;
    const flush = (end) => {
      if (open) place(faces, open, end);
      open = null;
    };
    for (let n = 0; n < count; n += 1) {
      const [low, high, i, j, alongX] = cellsAt(n);
      const [a, b] = [heights[low], heights[high]];
      if (Math.abs(a - b) < SAME) {
        flush(n);
        continue;
      }
      const [up, down] = a > b ? [low, high] : [high, low];
      const side = a > b ? 1 : -1; // the wall faces to the greater coordinate where the lower is high
      const plain = alongX ? [side, 0] : [0, side];
      const normal = outward(i, j, alongX, (Math.max(a, stock.bottom) + Math.max(b, stock.bottom)) / 2);
      const facing = normal && normal[0] * plain[0] + normal[1] * plain[1] > 0.05 ? normal : plain;
      const one = {
        start: n, side, kind: wallKind(up, down), normal: facing,
        high: heights[up], low: heights[down] === AIR ? stock.bottom : heights[down],
      };
      const same =
        open && open.kind === one.kind && open.side === side && open.high === one.high &&
        open.low === one.low && Math.abs(open.normal[0] - facing[0]) < 0.02 &&
        Math.abs(open.normal[1] - facing[1]) < 0.02;
      if (!same) {
        flush(n);
        open = one;
      }
    }
    flush(count);
  }

  function upright(faces, i0, j0, i1, j1) {
    for (let i = Math.max(1, i0); i < i1; i += 1) {
      const x = west(i);
      border(faces, j1 - j0,
        (n) => [(j0 + n) * nx + i - 1, (j0 + n) * nx + i, i, j0 + n, true],
        (out, wall, end) => {
          const [y0, y1] = [south(j0 + wall.start) - hair, south(j0 + end) + hair];
          const [p, q] = wall.side > 0 ? [y0, y1] : [y1, y0];
          const { low, high } = wall;
          out.add([x, p, low, x, q, low, x, q, high, x, p, high], ...wall.normal, 0, wall.kind);
        });
    }
    for (let j = Math.max(1, j0); j < j1; j += 1) {
      const y = south(j);
      border(faces, i1 - i0,
        (n) => [(j - 1) * nx + i0 + n, j * nx + i0 + n, i0 + n, j, false],
        (out, wall, end) => {
          const [x0, x1] = [west(i0 + wall.start) - hair, west(i0 + end) + hair];
          const [p, q] = wall.side > 0 ? [x1, x0] : [x0, x1];
          const { low, high } = wall;
          out.add([p, y, low, q, y, low, q, y, high, p, y, high], ...wall.normal, 0, wall.kind);
        });
    }
  }

  return {
    across: Math.ceil(nx / PATCH),
    down: Math.ceil(ny / PATCH),
    reach: AROUND + 1,
    // All faces of one patch, those of the underside last; returns how many come before them.
    build(faces, p, q) {
      faces.clear();
      const under = [];
      const [i0, j0] = [p * PATCH, q * PATCH];
      const [i1, j1] = [Math.min(nx, i0 + PATCH), Math.min(ny, j0 + PATCH)];
      level(faces, under, i0, j0, i1, j1);
      upright(faces, i0, j0, i1, j1);
      const upper = faces.count;
      for (const corners of under) faces.add(corners, 0, 0, -1, KIND.under);
      return upper;
    },
  };
}
