// Everything brought together: data in, picture and panel out, drawn when something has changed.

import { makeSay } from "./say.js";
import { readProgram, tipAt } from "./program.js";
import { makeStock } from "./stock.js";
import { makeCamera } from "./camera.js";
import { makeSection } from "./section.js";
import { makePace } from "./target.js";
import { makeScene } from "./scene.js";
import { makeOverlay } from "./overlay.js";
import { makePlayer } from "./player.js";
import { makeTrace } from "./trace.js";
import { makePanel } from "./panel.js";
import { bindControls } from "./controls.js";
import { bindGestures } from "./gestures.js";
import { bindPrint } from "./print.js";

const REST = 300; // ms after which edges are drawn smooth where that takes long
const TELL = 100; // ms between figures while it plays: nobody reads faster
const NEAR = [4, 45]; // s of path shown before and after the tool, at least and at most

function start() {
  const data = JSON.parse(document.getElementById("data").textContent);
  const program = readProgram(data);
  const say = makeSay(data.job.units);
  const stock = makeStock(data, program);
  const { part } = data;
  const reach = part.reach;
  const camera = makeCamera(reach, stock.bottom, Math.max(stock.top, part.clearance));
  const section = makeSection(stock, reach);
  const picture = document.getElementById("picture");
  const overlay = makeOverlay(document.getElementById("written"), camera, say, data.job.units);
  const make = () => makeScene(picture, data, program, stock, camera, section);
  let scene = make();
  const player = makePlayer(program, ask);
  fillTitle(data.job);
  const panel = makePanel(data, program, player, stock, say);
  const trace = makeTrace(document.getElementById("trace"), program);
  document.getElementById("no-picture").hidden = scene !== null;
  const near = Math.max(NEAR[0], Math.min(NEAR[1], program.total / 30));
  const park = Math.max(stock.top, part.clearance) + 5;
  let wanted = false;
  let before = 0;
  let resting = 0;
  let told = 0;
  const pace = makePace();

  function ask() {
    if (wanted) return;
    wanted = true;
    requestAnimationFrame(frame);
  }

  // Where the tool is drawn: parked above where the text does not fix its height.
  function tipShown() {
    const [x, y, z] = tipAt(program.steps, player.step, player.share);
    if (Number.isNaN(x) || Number.isNaN(y)) return null;
    return [x, y, Number.isNaN(z) ? park : z];
  }

  // Which stretch of the path is drawn, as places in the program.
  function pathRange() {
    const { steps, total } = program;
    const choice = document.getElementById("path").value;
    const now = player.step + player.share;
    let [from, to] = [0, steps.count - 1];
    if (choice === "operation") {
      const op = steps.op[player.step];
      [from, to] = op < 0
        ? [player.step, player.step]
        : [steps.op.indexOf(op), steps.op.lastIndexOf(op)];
    } else if (choice === "near") {
      while (from < player.step && steps.start[from + 1] < player.time - near) from += 1;
      while (to > player.step && steps.start[to] > player.time + near) to -= 1;
    }
    const shown = choice === "near"
      ? [placeAt(player.time - near, from), placeAt(Math.min(total, player.time + near), to)]
      : [from, to + 1];
    return { path: choice !== "none", range: [from, to], from: shown[0], to: shown[1], now };
  }
  function placeAt(time, k) {
    const long = program.steps.time[k];
    const share = long > 0 ? (time - program.steps.start[k]) / long : 1;
    return k + Math.max(0, Math.min(1, share));
  }

  function draw(smooth = true) {
    stock.goto(player.step, player.share);
    const tool = program.states[program.steps.state[player.step]][0];
    scene?.draw({ ...pathRange(), tip: tipShown(), tool }, smooth);
    overlay.draw(window.devicePixelRatio);
    const now = performance.now();
    if (player.playing && now - told < TELL) return;
    told = now;
    panel.draw();
  }

  function frame(now) {
    const passed = now - before;
    const moving = passed < 250; // the frame before is still warm
    before = now;
    if (moving) pace.took(passed);
    player.tick(Math.min(0.25, passed / 1000));
    wanted = false;
    draw(!moving || pace.smooth);
    counted.frames += 1;
    clearTimeout(resting);
    if (player.playing) ask();
    else if (!pace.smooth) resting = setTimeout(draw, REST);
  }

  function recolour() {
    scene?.recolour();
    overlay.forget();
    trace.draw();
    ask();
  }

  function resize() {
    const box = picture.parentElement.getBoundingClientRect();
    const ratio = window.devicePixelRatio;
    for (const canvas of [picture, document.getElementById("written")]) {
      canvas.width = Math.max(1, Math.round(box.width * ratio));
      canvas.height = Math.max(1, Math.round(box.height * ratio));
    }
    const key = document.querySelector(".legend").offsetWidth + 24;
    camera.resize(box.width, box.height, box.width > 3 * key ? key : 0);
    overlay.forget();
    trace.draw();
    draw();
  }

  const counted = { frames: 0 };
  bindControls({ player, camera, section, program, redraw: ask, recolour });
  // a tablet that slept may have lost the picture's memory: it is drawn anew
  picture.addEventListener("webglcontextlost", (event) => event.preventDefault());
  picture.addEventListener("webglcontextrestored", () => {
    scene = make();
    ask();
  });
  bindGestures(picture, camera, ask);
  new ResizeObserver(resize).observe(picture.parentElement);
  bindPrint(recolour, draw);
  resize();
  // for a look from outside: tests, and the curious
  globalThis.cut = { data, program, stock, player, camera, section, counted, draw };
  document.documentElement.dataset.ready = "true";
}

function fillTitle(job) {
  const parts = [job.number, job.revision && `rev ${job.revision}`, job.material, job.machine];
  document.getElementById("title").textContent = job.title;
  document.getElementById("about").textContent = parts.filter(Boolean).join(" · ");
  document.getElementById("digests").textContent =
    `job ${job.digest} · program ${job.programDigest} · ${job.workOffset}`;
  const held = document.getElementById("held");
  held.textContent = job.held ? "Evidence: all held" : "Evidence: broken, do not run";
  held.dataset.held = String(job.held);
}

start();
