// Frames: one when something was asked for, one after the other while the program plays.

import { makePace } from "./target.js";

const REST = 300; // ms after which edges are drawn smooth where that takes long
const LONG = 250; // ms: a longer gap between frames is a pause, not a slow frame

export function makeLoop(player, draw) {
  const pace = makePace();
  const loop = { frames: 0 };
  let wanted = false;
  let running = false; // whether the frame before was part of playing
  let before = 0;
  let resting = 0;

  loop.ask = () => {
    if (wanted) return;
    wanted = true;
    requestAnimationFrame(frame);
  };

  function frame(now) {
    const passed = Math.min(LONG, now - before);
    const moving = now - before < LONG;
    before = now;
    if (moving) pace.took(passed);
    player.tick(running ? passed / 1000 : 0);
    running = player.playing;
    wanted = false;
    draw(!(moving || running) || pace.smooth);
    loop.frames += 1;
    clearTimeout(resting);
    if (running) loop.ask();
    else if (!pace.smooth) resting = setTimeout(draw, REST);
  }
  return loop;
}
