// What is going on, in words and figures: the block, its operation, feed, spindle, engagement.

import { clock, spokenTime } from "./say.js";
import { LINE, RAPID, WAIT, engagedAt, tipAt } from "./program.js";
import { SLIDER } from "./player.js";

const LINE_HEIGHT = 20; // px, of a row of the program; the style sheet says the same

export function makePanel(data, program, player, stock, say) {
  const { steps, states, operations, text } = program;
  const by = (id) => document.getElementById(id);
  const tools = new Map(data.tools.map((tool) => [tool.number, tool]));
  const rows = fillProgram(by("program"), text);
  const chosen = fillOperations(by("operations"), operations, say);
  let shownLine = -1;
  let shownOp = -2;
  let wasPlaying = false;

  function block() {
    const line = steps.line[player.step];
    if (line === shownLine) return;
    rows[shownLine - 1]?.removeAttribute("aria-current");
    rows[line - 1].setAttribute("aria-current", "true");
    shownLine = line;
    put("line", `Line ${line}`);
    put("block", text[line - 1]);
    const list = by("program");
    list.scrollTop = (line - 0.5) * LINE_HEIGHT - list.clientHeight / 2;
  }

  function operation() {
    const op = steps.op[player.step];
    if (op === shownOp) return;
    chosen[shownOp]?.removeAttribute("aria-current");
    chosen[op]?.setAttribute("aria-current", "true");
    shownOp = op;
    put("operation", op < 0 ? "between operations" : operations[op].id);
    if (player.playing) announce();
  }

  function figures() {
    const [number, spindle, rpm, feed, coolant] = states[steps.state[player.step]];
    const tool = tools.get(number);
    put("tool", tool ? `T${number}, ${tool.kind.replace("_", " ")} Ø${say.short(2 * tool.radius)}` : "none");
    const rapid = steps.kind[player.step] === RAPID;
    const still = steps.kind[player.step] === WAIT;
    put("feed", rapid ? "rapid" : still ? "standing" : say.feed(feed));
    const sense = { cw: "clockwise", ccw: "counter-clockwise" }[spindle];
    put("spindle", sense ? `${rpm} rpm ${sense}` : "off");
    put("coolant", coolant);
    const tip = tipAt(steps, player.step, player.share);
    ["x", "y", "z"].forEach((name, axis) => {
      put(name, Number.isNaN(tip[axis]) ? "not fixed" : say.bare(tip[axis]));
    });
    put("removed", say.volume(stock.removed));
    put("time", `${clock(player.time)} of ${clock(program.total)}`);
    by("slider").setAttribute("aria-valuetext", `${spokenTime(player.time)}, ${by("operation").textContent}`);
    engagement();
  }

  function engagement() {
    const angle = engagedAt(program, player.step, player.share);
    const cuts = steps.kind[player.step] >= LINE && angle > 0;
    const shown = cuts ? angle : 0;
    put("engaged", cuts ? `${shown}°` : "in air");
    const depth = cuts ? program.depth[steps.motion[player.step]] / 100 : 0;
    put("depth", cuts && depth > 0 ? say.short(depth) : "none");
    by("gauge-fill").setAttribute("d", sector(shown));
    const limit = operations[steps.op[player.step]]?.limit;
    by("gauge-limit").setAttribute("d", limit ? tick(limit) : "");
  }

  // Told to a screen reader: where we are now.
  function announce() {
    const op = by("operation").textContent;
    put("told", `${op}. ${by("block").textContent}. Feed ${by("feed").textContent}, ` +
      `engaged ${by("engaged").textContent}, ${spokenTime(player.time)}.`);
    by("picture").setAttribute("aria-label",
      `The stock as it is cut. ${op}, line ${shownLine}, tip at X ${by("x").textContent} ` +
      `Y ${by("y").textContent} Z ${by("z").textContent}, removed ${by("removed").textContent}.`);
  }

  function controls() {
    by("play").textContent = player.playing ? "Pause" : "Play";
    by("play").setAttribute("aria-pressed", String(player.playing));
    by("speed").value = String(player.speed);
    by("slider").value = String(Math.round((SLIDER * player.time) / program.total));
  }

  return {
    rows,
    draw() {
      by("harm").hidden = !stock.harmed;
      block();
      operation();
      figures();
      controls();
      if (!player.playing || !wasPlaying) announce();
      wasPlaying = player.playing;
    },
  };
}

function put(id, text) {
  const element = document.getElementById(id);
  if (element.textContent !== text) element.textContent = text;
}

function fillProgram(list, text) {
  const rows = text.map((line, k) => {
    const row = document.createElement("li");
    row.textContent = line || " ";
    row.dataset.line = String(k + 1);
    return row;
  });
  list.append(...rows);
  return rows;
}

function fillOperations(list, operations, say) {
  const rows = operations.map((op, k) => {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.operation = String(k);
    const bottom = op.bottom === null ? "" : `to Z ${say.bare(op.bottom)}`;
    for (const said of [`${k + 1}`, op.id, `${op.tool} ${bottom}`, clock(op.time)]) {
      const part = document.createElement("span");
      part.textContent = said;
      button.append(part);
    }
    const row = document.createElement("li");
    row.append(button);
    list.append(row);
    return button;
  });
  return rows;
}

// The leading half of the cutter's rim, from its right to its left; the engaged part is filled.
function sector(angle) {
  const a = (angle * Math.PI) / 180;
  return angle > 0 ? `M30 30L56 30A26 26 0 0 0 ${30 + 26 * Math.cos(a)} ${30 - 26 * Math.sin(a)}Z` : "";
}

function tick(angle) {
  const a = (angle * Math.PI) / 180;
  const at = (r) => `${30 + r * Math.cos(a)} ${30 - r * Math.sin(a)}`;
  return `M${at(20)}L${at(30)}`;
}
