// Buttons, sliders and keys. What a key does is said in the page's own list of keys.

import { SLIDER, SPEEDS } from "./player.js";

export function bindControls({ player, camera, section, program, redraw, recolour }) {
  const by = (id) => document.getElementById(id);
  const on = (id, kind, act) => by(id).addEventListener(kind, act);

  on("play", "click", () => player.play(!player.playing));
  on("start", "click", () => jump(() => player.seek(0)));
  on("end", "click", () => jump(() => player.seek(program.total)));
  on("block-back", "click", () => player.block(-1));
  on("block-on", "click", () => player.block(1));
  on("operation-back", "click", () => jump(() => player.nextOperation(-1)));
  on("operation-on", "click", () => jump(() => player.nextOperation(1)));
  by("slider").max = String(SLIDER);
  on("slider", "input", () => {
    jump(() => player.seek((program.total * Number(by("slider").value)) / SLIDER));
  });
  for (const speed of SPEEDS) by("speed").append(new Option(`× ${speed}`, String(speed)));
  on("speed", "change", () => {
    player.speed = Number(by("speed").value);
    redraw();
  });
  on("operations", "click", (event) => {
    const button = event.target.closest("[data-operation]");
    if (button) jump(() => player.operation(Number(button.dataset.operation)));
  });
  on("program", "click", (event) => {
    const row = event.target.closest("[data-line]");
    if (row) jump(() => player.line(Number(row.dataset.line)));
  });

  function jump(go) {
    player.playing = false;
    go();
  }

  for (const button of document.querySelectorAll("[data-view]")) {
    button.addEventListener("click", () => look(button.dataset.view));
  }
  function look(name) {
    camera.look(name);
    redraw();
  }

  on("path", "change", redraw);
  on("section", "change", () => cutOpen(by("section").value));
  on("section-at", "input", () => {
    section.at = Number(by("section-at").value);
    redraw();
  });
  function cutOpen(across) {
    section.across = across;
    by("section").value = across;
    by("section-at").disabled = across === "none";
    if (across !== "none") {
      const [low, high] = section.range();
      section.at = (low + high) / 2;
      Object.assign(by("section-at"), { min: low, max: high, step: (high - low) / 1000 });
      by("section-at").value = String(section.at);
    }
    redraw();
  }
  cutOpen("none");

  on("theme", "change", () => {
    const theme = by("theme").value;
    document.documentElement.dataset.theme = theme;
    recolour();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", recolour);

  const keys = {
    " ": () => player.play(!player.playing),
    ",": () => player.block(-1),
    ".": () => player.block(1),
    "[": () => jump(() => player.nextOperation(-1)),
    "]": () => jump(() => player.nextOperation(1)),
    Home: () => jump(() => player.seek(0)),
    End: () => jump(() => player.seek(program.total)),
    "+": () => player.faster(1),
    "=": () => player.faster(1),
    "-": () => player.faster(-1),
    1: () => look("corner"),
    2: () => look("above"),
    3: () => look("front"),
    4: () => look("right"),
    5: () => look("left"),
    6: () => look("rear"),
    s: () => cutOpen({ none: "x", x: "y", y: "none" }[section.across]),
  };
  const turning = {
    ArrowLeft: [-6, 0], ArrowRight: [6, 0], ArrowUp: [0, 6], ArrowDown: [0, -6],
  };
  const nearer = { i: 1.2, o: 1 / 1.2 };
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const own = event.target.closest("button, select, input, summary");
    // a control's own keys stay its own
    if (own && [" ", "Enter", "Home", "End"].includes(event.key)) return;
    if (own && event.key.startsWith("Arrow")) return;
    if (own?.tagName === "SELECT") return;
    if (keys[event.key]) keys[event.key]();
    else if (nearer[event.key]) camera.closer(nearer[event.key]);
    else if (turning[event.key]) camera.rotate(...turning[event.key]);
    else return;
    event.preventDefault();
    redraw();
  });
}
