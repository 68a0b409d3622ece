// Everything brought together: data in, picture and panel out, drawn when something has changed.

import { makeSay } from "./say.js";
import { readProgram, tipAt } from "./program.js";
import { makeStock } from "./stock.js";
import { makeCamera } from "./camera.js";
import { makeSection } from "./section.js";
import { makeScene } from "./scene.js";
import { makeOverlay } from "./overlay.js";
import { makePlayer } from "./player.js";
import { makeSpan } from "./span.js";
import { makeLoop } from "./loop.js";
import { fillTitle } from "./title.js";
import { makeTrace } from "./trace.js";
import { makePanel } from "./panel.js";
import { bindControls } from "./controls.js";
import { bindGestures } from "./gestures.js";
import { bindPrint } from "./print.js";

const TELL = 100; // ms between figures while it plays: nobody reads faster

function start() {
  const data = JSON.parse(document.getElementById("data").textContent);
  const { part, job } = data;
  const program = readProgram(data);
  const stock = makeStock(data, program);
  const say = makeSay(job.units);
  const camera = makeCamera(part.reach, stock.bottom, Math.max(stock.top, part.clearance));
  const section = makeSection(stock, part.reach);
  const picture = document.getElementById("picture");
  const written = document.getElementById("written");
  const overlay = makeOverlay(written, camera, say, job.units);
  const make = () => makeScene(picture, data, program, stock, camera, section);
  let scene = make();
  document.getElementById("no-picture").hidden = scene !== null;
  const player = makePlayer(program, () => loop.ask());
  const loop = makeLoop(player, draw);
  const span = makeSpan(program, player);
  const panel = makePanel(data, program, player, stock, say);
  const trace = makeTrace(document.getElementById("trace"), program);
  const park = Math.max(stock.top, part.clearance) + 5; // where the text fixes no height
  let told = 0;

  function draw(smooth = true) {
    const { steps, states } = program;
    stock.goto(player.step, player.share);
    const [x, y, z] = tipAt(steps, player.step, player.share);
    const tip = Number.isNaN(x + y) ? null : [x, y, Number.isNaN(z) ? park : z];
    const path = span(document.getElementById("path").value);
    scene?.draw({ ...path, tip, tool: states[steps.state[player.step]][0] }, smooth);
    overlay.draw(window.devicePixelRatio);
    const now = performance.now();
    if (player.playing && now - told < TELL) return;
    told = now;
    panel.draw();
  }

  function recolour() {
    scene?.recolour();
    overlay.forget();
    trace.draw();
    loop.ask();
  }

  function resize() {
    const box = picture.parentElement.getBoundingClientRect();
    const ratio = window.devicePixelRatio;
    for (const canvas of [picture, written]) {
      canvas.width = Math.max(1, Math.round(box.width * ratio));
      canvas.height = Math.max(1, Math.round(box.height * ratio));
    }
    const key = document.querySelector(".legend").offsetWidth + 24;
    camera.resize(box.width, box.height, box.width > 3 * key ? key : 0);
    overlay.forget();
    trace.draw();
    draw();
  }

  // a tablet that slept may have lost the picture's memory: it is drawn anew
  picture.addEventListener("webglcontextlost", (event) => event.preventDefault());
  picture.addEventListener("webglcontextrestored", () => {
    scene = make();
    loop.ask();
  });
  fillTitle(job);
  bindControls({ player, camera, section, program, redraw: loop.ask, recolour });
  bindGestures(picture, camera, loop.ask);
  bindPrint(recolour, draw);
  new ResizeObserver(resize).observe(picture.parentElement);
  resize();
  // for a look from outside: tests, and the curious
  globalThis.cut = { data, program, stock, player, camera, section, loop, draw };
  document.documentElement.dataset.ready = "true";
}

start();
