// The stock while it is cut: heights on a grid, moved to any place of the program, either way.

import { LINE, isKnown, tipAt } from "./program.js";
import { AIR, makeSweeper } from "./sweep.js";

const KEPT_STATES = 28; // heights kept along the program, so that going back is quick

export function makeStock(data, program) {
  const { grid, part } = data;
  const size = grid.nx * grid.ny;
  const labels = readLabels(data.labels, size);
  const heights = new Float32Array(size);
  for (let k = 0; k < size; k += 1) heights[k] = labels[k] ? part.stock.top : AIR;
  const bottoms = data.begins ? begin(data.begins, heights) : part.stock.bottom;
  const sweeper = makeSweeper(grid, heights, bottoms);
  const tools = new Map(data.tools.map((tool) => [tool.number, tool]));
  const stock = {
    grid, labels, heights, top: part.stock.top, bottom: part.stock.bottom,
    bottomAt: (k) => (typeof bottoms === "number" ? bottoms : bottoms[k]),
    standing: part.standing, dirty: null, step: 0, share: 0, harmed: false,
    get removed() { return sweeper.state.removed; },
  };
  const kept = [{ step: 0, heights: heights.slice(), removed: 0 }];
  const every = program.total / KEPT_STATES;

  function cut(k, from, to) {
    const { steps } = program;
    if (steps.kind[k] < LINE || !isKnown(steps, k) || to <= from) return;
    const tool = tools.get(program.states[steps.state[k]][0]);
    if (!tool || Math.min(steps.z0[k], steps.z1[k]) >= part.stock.top) return;
    sweeper.start();
    const [a, b] = [tipAt(steps, k, from), tipAt(steps, k, to)];
    if (steps.kind[k] === LINE) sweeper.line(tool, a, b);
    else {
      const sweep = (to - from) * steps.sweep[k];
      const first = steps.first[k] + from * steps.sweep[k];
      sweeper.arc(tool, [steps.cx[k], steps.cy[k], steps.radius[k]], first, sweep, a[2], b[2]);
    }
    stock.dirty?.(...sweeper.state.box);
  }

  function back(step, share) {
    let best = kept[0];
    for (const one of kept) if (one.step <= step && one.step >= best.step) best = one;
    const ahead = best.step > stock.step;
    if (stock.step < step || (stock.step === step && stock.share <= share)) {
      if (!ahead) return; // going on from here is the shorter way
    }
    markChanged(heights, best.heights, grid, stock.dirty);
    heights.set(best.heights);
    sweeper.state.removed = best.removed;
    stock.step = best.step;
    stock.share = 0;
  }

  // The stock as it is when the program stands a share of the way through a step.
  stock.goto = (step, share) => {
    back(step, share);
    while (stock.step < step) {
      cut(stock.step, stock.share, 1);
      stock.step += 1;
      stock.share = 0;
      keep();
    }
    cut(step, stock.share, share);
    stock.share = share;
  };

  function keep() {
    const newest = kept[kept.length - 1];
    const k = stock.step;
    if (k >= program.steps.count || k <= newest.step) return;
    if (program.steps.start[k] < program.steps.start[newest.step] + every) return;
    kept.push({ step: k, heights: heights.slice(), removed: sweeper.state.removed });
  }
  return stock;
}

// What setups before left: heights are set, bottoms given back. In thousandths of a millimetre.
function begin(begins, heights) {
  const bottoms = new Float32Array(heights.length);
  for (const [runs, cells] of [[begins.heights, heights], [begins.bottoms, bottoms]]) {
    let at = 0;
    for (let k = 0; k < runs.length; k += 2) {
      cells.fill(runs[k] === null ? AIR : runs[k] / 1000, at, (at += runs[k + 1]));
    }
  }
  return bottoms;
}

function readLabels(runs, size) {
  const labels = new Uint16Array(size);
  let at = 0;
  for (let k = 0; k < runs.length; k += 2) labels.fill(runs[k], at, (at += runs[k + 1]));
  return labels;
}

// Tells which rows of cells differ, in boxes.
function markChanged(now, then, { nx, ny }, dirty) {
  if (!dirty) return;
  for (let j = 0; j < ny; j += 1) {
    let low = nx;
    let high = -1;
    for (let i = 0; i < nx; i += 1) {
      if (now[j * nx + i] === then[j * nx + i]) continue;
      if (i < low) low = i;
      high = i;
    }
    if (high >= 0) dirty(low, high, j, j);
  }
}
