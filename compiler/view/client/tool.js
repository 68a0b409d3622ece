// The tool as a turned body: end and flutes, then shank and holder. Tip at nought.

import { KIND, makeFaces } from "./mesh.js";

const SIDES = 40;
const ROUND = 8; // parts of a corner arc

export function toolFaces(tool) {
  const cutting = makeFaces(SIDES * 12);
  turned(cutting, endProfile(tool), KIND.edge);
  const body = makeFaces(SIDES * 8);
  turned(body, bodyProfile(tool), KIND.shank);
  return { cutting, body };
}

// Radius and height from the axis at the tip outwards and up.
function endProfile(tool) {
  const points = [[0, 0]];
  if (tool.flat > 0) points.push([tool.flat, 0]);
  if (tool.corner) {
    for (let k = 1; k <= ROUND; k += 1) {
      const a = (k / ROUND) * (Math.PI / 2);
      points.push([tool.flat + tool.corner * Math.sin(a), tool.corner * (1 - Math.cos(a))]);
    }
  } else if (tool.slope) {
    points.push([tool.radius, (tool.radius - tool.flat) * tool.slope]);
  }
  const top = Math.max(tool.fluteLength, points[points.length - 1][1]);
  points.push([tool.radius, top], [Math.min(tool.radius, tool.shank), top]);
  return points;
}

function bodyProfile(tool) {
  const low = tool.fluteLength;
  const high = Math.max(tool.stickout, low);
  const points = [[0, low], [tool.shank, low], [tool.shank, high]];
  if (tool.holder) {
    const [radius, length] = tool.holder;
    points.push([radius, high], [radius, high + length], [0, high + length]);
  } else {
    points.push([0, high]);
  }
  return points;
}

function turned(faces, profile, kind) {
  for (let k = 0; k + 1 < profile.length; k += 1) {
    const [[r0, z0], [r1, z1]] = [profile[k], profile[k + 1]];
    const long = Math.hypot(r1 - r0, z1 - z0);
    if (long < 1e-9) continue;
    const [out, up] = [(z1 - z0) / long, -(r1 - r0) / long];
    for (let s = 0; s < SIDES; s += 1) {
      const [a, b] = [s, s + 1].map((n) => (n / SIDES) * 2 * Math.PI);
      const m = (a + b) / 2;
      const at = (r, z, angle) => [r * Math.cos(angle), r * Math.sin(angle), z];
      faces.add(
        [...at(r0, z0, a), ...at(r0, z0, b), ...at(r1, z1, b), ...at(r1, z1, a)],
        out * Math.cos(m), out * Math.sin(m), up, kind,
      );
    }
  }
}

// Jaws, clamps and the like: upright sides, and a level top in slabs.
export function holdingFaces(obstacles, bottom) {
  const faces = makeFaces(256);
  for (const { loops, slabs, top } of obstacles) {
    const low = Math.min(bottom, top - 3);
    for (const loop of loops) {
      for (let k = 0; k < loop.length; k += 2) {
        const [x0, y0] = [loop[k], loop[k + 1]];
        const [x1, y1] = [loop[(k + 2) % loop.length], loop[(k + 3) % loop.length]];
        const long = Math.hypot(x1 - x0, y1 - y0);
        if (long < 1e-9) continue;
        faces.add([x0, y0, low, x1, y1, low, x1, y1, top, x0, y0, top],
          (y1 - y0) / long, -(x1 - x0) / long, 0, KIND.holding);
      }
    }
    for (const [y0, a0, b0, y1, a1, b1] of slabs) {
      faces.add([a0, y0, top, b0, y0, top, b1, y1, top, a1, y1, top], 0, 0, 1, KIND.holding);
      const under = Math.min(bottom, top - 3);
      faces.add([a0, y0, under, a1, y1, under, b1, y1, under, b0, y0, under], 0, 0, -1, KIND.holding);
    }
  }
  return faces;
}
