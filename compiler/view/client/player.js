// Where the program stands, and how it goes on: by time, by block, by operation.

export const SPEEDS = [1, 2, 5, 10, 20, 50, 100, 200];
export const SLIDER = 4000; // marks on the slider, from start to end
const WHOLE_IN = 75; // s: the speed to start with plays the whole program in about that time

export function makePlayer(program, changed) {
  const { steps, total } = program;
  const player = {
    step: 0, share: 0, time: 0, playing: false,
    speed: SPEEDS.find((s) => total / s <= WHOLE_IN) ?? SPEEDS[SPEEDS.length - 1],
  };
  const last = steps.count - 1;

  const set = (step, share) => {
    player.step = Math.max(0, Math.min(last, step));
    player.share = share;
    player.time = steps.start[player.step] + share * steps.time[player.step];
    changed();
  };

  player.atEnd = () => player.step === last && player.share >= 1;

  // The step under way at a time: the last one that has begun.
  player.seek = (time) => {
    if (time >= total) return set(last, 1);
    let [low, high] = [0, last];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (steps.start[middle] <= Math.max(0, time)) low = middle;
      else high = middle - 1;
    }
    const long = steps.time[low];
    return set(low, long > 0 ? Math.min(1, Math.max(0, time - steps.start[low]) / long) : 1);
  };

  player.play = (on) => {
    if (on && player.atEnd()) player.seek(0);
    player.playing = on;
    changed();
  };

  player.tick = (seconds) => {
    if (!player.playing) return;
    player.seek(player.time + seconds * player.speed);
    if (player.atEnd()) player.play(false);
  };

  // To the end of the next line of the program that says something, or of the one before.
  player.block = (way) => {
    player.playing = false;
    const line = steps.line[player.step];
    let k = player.step;
    if (way > 0) {
      while (k < last && steps.line[k] === line) k += 1;
      if (steps.line[k] === line) return set(last, 1);
    } else {
      while (k > 0 && steps.line[k] === line) k -= 1;
      if (steps.line[k] === line) return set(0, 0);
    }
    const other = steps.line[k];
    while (k < last && steps.line[k + 1] === other) k += 1;
    return set(k, 1);
  };

  // To the start of an operation.
  player.operation = (index) => {
    const k = steps.op.indexOf(index);
    if (k >= 0) set(k, 0);
  };

  player.nextOperation = (way) => {
    const here = steps.op[player.step];
    const seen = [...new Set(steps.op)].filter((op) => op >= 0);
    if (way > 0) {
      const next = steps.op.findIndex((op, k) => k > player.step && op >= 0 && op !== here);
      return next >= 0 ? set(next, 0) : set(last, 1);
    }
    const first = steps.op.indexOf(here);
    if (here >= 0 && (player.step > first || player.share > 0)) return set(first, 0);
    const before = seen[seen.indexOf(here) - 1];
    return before === undefined ? set(0, 0) : player.operation(before);
  };

  // To the line of the program, or the next one that says something.
  player.line = (number) => {
    const k = steps.line.findIndex((line) => line >= number);
    set(k < 0 ? last : k, k < 0 ? 1 : 0);
  };

  player.faster = (way) => {
    const at = SPEEDS.indexOf(player.speed) + way;
    player.speed = SPEEDS[Math.max(0, Math.min(SPEEDS.length - 1, at))];
    changed();
  };
  return player;
}
