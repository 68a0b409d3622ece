// The picture: stock, what holds it, section, tool, path and outlines, drawn when something changed.

import { makeFaces } from "./mesh.js";
import { FACE_PIXEL, FACE_VERTEX, LINE_PIXEL, LINE_VERTEX, makeProgram } from "./shaders.js";
import { makeBatch, makeCorners, makeSurface } from "./surface.js";
import { makeLines, outlineCorners, pathCorners } from "./lines.js";
import { holdingFaces, toolFaces } from "./tool.js";
import { NO_PLANE } from "./section.js";
import { makeTarget } from "./target.js";

const INK_KINDS = [
  "blank", "cut", "stands", "blank-side", "cut-side", "stands-side", "section", "section-stands",
  "holding", "under", "harmed", "covered", "edge", "shank",
];

export function makeScene(canvas, data, program, stock, camera, section) {
  const gl = canvas.getContext("webgl2", { antialias: false });
  if (!gl) return null;
  const face = makeProgram(gl, FACE_VERTEX, FACE_PIXEL, ["place", "facing"]);
  const line = makeProgram(gl, LINE_VERTEX, LINE_PIXEL, ["place", "mark"]);
  const target = makeTarget(gl);
  const corners = makeCorners(gl);
  corners.reserve(8192);
  const surface = makeSurface(gl, corners, stock);
  const capFaces = makeFaces(1024);
  const cap = makeBatch(gl, corners);
  const holding = makeBatch(gl, corners);
  holding.fill(holdingFaces(data.part.obstacles, stock.bottom));
  const tools = new Map(data.tools.map((tool) => [tool.number, toolBatches(gl, corners, tool)]));
  const path = pathCorners(program);
  const pathLines = makeLines(gl, path.corners);
  const { standing, obstacles } = data.part;
  const standLines = makeLines(gl, standing.flatMap((one) => outlineCorners(one.loops, one.top)));
  const holdLines = makeLines(gl, obstacles.flatMap((one) => outlineCorners(one.loops, one.top)));
  const deepest = data.operations.map((op) => op.bottom).filter((z) => z !== null);
  const deep = Math.min(stock.top - 0.1, ...deepest);
  let paint = readPaint();

  function drawFaces(matrix, pixel) {
    gl.useProgram(face.program);
    gl.uniformMatrix4fv(face.at.view, false, matrix);
    gl.uniform3fv(face.at.colours, paint.faces);
    gl.uniform3fv(face.at.ink, paint.ink);
    gl.uniform3fv(face.at.light, lightOf(camera));
    gl.uniform4fv(face.at.plane, section.plane(camera.axes()[2]));
    gl.uniform1f(face.at.hatch, 9 * pixel);
    gl.uniform1f(face.at.fine, pixel / window.devicePixelRatio);
    gl.uniform1f(face.at.alpha, 1);
    gl.uniform1f(face.at.deep, deep);
    gl.uniform1f(face.at.top, stock.top);
    gl.uniform3f(face.at.offset, 0, 0, 0);
    surface.renew();
    gl.enable(gl.CULL_FACE);
    surface.draw(camera.tilt < 0);
    gl.disable(gl.CULL_FACE);
    holding.draw();
    section.fill(capFaces);
    cap.fill(capFaces);
    cap.draw();
  }

  function drawLines(matrix, pixel, show) {
    gl.useProgram(line.program);
    gl.uniformMatrix4fv(line.at.view, false, matrix);
    gl.uniform4fv(line.at.plane, section.plane(camera.axes()[2]));
    gl.uniform1f(line.at.fine, pixel);
    gl.uniform1f(line.at.now, show.now);
    gl.uniform1f(line.at.lift, 0.0008);
    gl.enable(gl.BLEND);
    gl.depthMask(false);
    // outlines whole where they are seen and dashed where they are hidden, as ISO 128-2 has them
    gl.uniform2f(line.at.shown, -2, 1e9);
    strokes(paint.outline, paint.outline, 0.4, true, () => standLines.draw());
    strokes(paint.outline, paint.outline, 1, false, () => {
      standLines.draw();
      holdLines.draw();
    });
    const [from, to] = show.range;
    const [a, b] = [path.firsts[from], path.firsts[Math.min(to + 1, program.steps.count)]];
    if (show.path) {
      gl.uniform2f(line.at.shown, show.from, show.to);
      strokes(paint.before, paint.after, 0.3, true, () => pathLines.draw(a, b));
      strokes(paint.before, paint.after, 1, false, () => pathLines.draw(a, b));
    }
    gl.depthMask(true);
    gl.disable(gl.BLEND);
  }

  function strokes(before, after, alpha, hidden, draw) {
    if (hidden) gl.disable(gl.DEPTH_TEST);
    else gl.enable(gl.DEPTH_TEST);
    gl.uniform1i(line.at.dashed, hidden ? 1 : 0);
    gl.uniform4f(line.at.before, ...before, alpha);
    gl.uniform4f(line.at.after, ...after, alpha);
    draw();
  }

  function drawTool(show) {
    const batches = show.tip && tools.get(show.tool);
    if (!batches) return;
    gl.useProgram(face.program);
    gl.uniform4fv(face.at.plane, NO_PLANE);
    gl.uniform3f(face.at.offset, ...show.tip);
    gl.enable(gl.BLEND);
    gl.enable(gl.CULL_FACE);
    gl.uniform1f(face.at.alpha, 0.82);
    batches.cutting.draw();
    gl.uniform1f(face.at.alpha, 0.35);
    gl.depthMask(false);
    batches.body.draw();
    gl.depthMask(true);
    gl.disable(gl.CULL_FACE);
    gl.disable(gl.BLEND);
  }

  function drawAll(show) {
    const pixel = 1 / camera.scale(); // mm
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.clearColor(...paint.paper, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    // the canvas itself stays opaque
    gl.blendFuncSeparate(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA, gl.ONE, gl.ONE_MINUS_SRC_ALPHA);
    const matrix = camera.matrix();
    drawFaces(matrix, pixel);
    drawLines(matrix, pixel, show);
    drawTool(show);
  }

  return {
    recolour() {
      paint = readPaint();
    },
    draw: (show, smooth) => target(smooth, () => drawAll(show)),
  };
}

function toolBatches(gl, corners, tool) {
  const { cutting, body } = toolFaces(tool);
  const batches = { cutting: makeBatch(gl, corners), body: makeBatch(gl, corners) };
  batches.cutting.fill(cutting);
  batches.body.fill(body);
  return batches;
}

// Light from over the left shoulder, whichever way one looks.
function lightOf(camera) {
  const [right, up, back] = camera.axes();
  const way = right.map((r, k) => -0.45 * r + 0.55 * up[k] + 0.7 * back[k]);
  const long = Math.hypot(...way);
  return way.map((v) => v / long);
}

function readPaint() {
  const look = getComputedStyle(document.documentElement);
  const colour = (name) => rgb(look.getPropertyValue(`--${name}`).trim());
  return {
    faces: new Float32Array(INK_KINDS.flatMap((name) => colour(`face-${name}`))),
    ink: colour("hatch"),
    paper: colour("paper"),
    outline: colour("outline"),
    before: colour("path-before"),
    after: colour("path-after"),
  };
}

function rgb(hex) {
  return [1, 3, 5].map((k) => parseInt(hex.slice(k, k + 2), 16) / 255);
}
