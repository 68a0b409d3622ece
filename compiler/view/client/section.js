// A section: the stock cut open by an upright plane across X or Y, and the face that shows there.

import { AIR } from "./sweep.js";
import { KIND } from "./mesh.js";

export const NO_PLANE = [0, 0, 0, 1e9];

export function makeSection(stock, reach) {
  const section = { across: "none", at: 0 };
  const { grid, heights, labels } = stock;

  section.range = () =>
    section.across === "x" ? [reach[0], reach[2]] : [reach[1], reach[3]];

  // The half that is nearer to the viewer is taken away: `back` points at the viewer.
  section.plane = (back) => {
    const axis = { x: 0, y: 1 }[section.across];
    if (axis === undefined) return NO_PLANE;
    const way = back[axis] < 0 ? -1 : 1;
    return [axis === 0 ? way : 0, axis === 1 ? way : 0, 0, way * section.at];
  };

  // The cut face, column by column of cells; equal neighbours are one.
  section.fill = (faces) => {
    faces.clear();
    if (section.across === "none") return;
    const alongY = section.across === "x";
    const [lead, count] = alongY ? [grid.x0, grid.ny] : [grid.y0, grid.nx];
    const [start, most] = alongY ? [grid.y0, grid.nx] : [grid.x0, grid.ny];
    const row = Math.floor((section.at - lead) / grid.pitch + 0.5);
    if (row < 0 || row >= most) return;
    const cell = (n) => (alongY ? n * grid.nx + row : row * grid.nx + n);
    let n = 0;
    while (n < count) {
      const h = heights[cell(n)];
      const label = labels[cell(n)];
      const low = stock.bottomAt(cell(n));
      const same = (k) => heights[k] === h && labels[k] === label && stock.bottomAt(k) === low;
      let e = n + 1;
      while (e < count && same(cell(e))) e += 1;
      if (h !== AIR) {
        const ends = [start + (n - 0.5) * grid.pitch, start + (e - 0.5) * grid.pitch];
        const stands = label >= 2 ? Math.min(h, stock.standing[label - 2].top) : low;
        add(faces, ends, low, stands, KIND.sectionStands);
        add(faces, ends, stands, h, KIND.section);
      }
      n = e;
    }
  };

  function add(faces, [a, b], low, high, kind) {
    if (high - low < 1e-6) return;
    const w = section.at;
    if (section.across === "x") {
      faces.add([w, a, low, w, b, low, w, b, high, w, a, high], 1, 0, 0, kind);
    } else {
      faces.add([a, w, low, b, w, low, b, w, high, a, w, high], 0, -1, 0, kind);
    }
  }
  return section;
}
