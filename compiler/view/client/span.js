// Which stretch of the path is drawn, as places in the program: a step, and a share of it.

const NEAR = [4, 45]; // s of path shown before and after the tool, at least and at most

export function makeSpan(program, player) {
  const { steps, total } = program;
  const near = Math.max(NEAR[0], Math.min(NEAR[1], total / 30));

  function placeAt(time, k) {
    const long = steps.time[k];
    const share = long > 0 ? (time - steps.start[k]) / long : 1;
    return k + Math.max(0, Math.min(1, share));
  }

  function ofOperation() {
    const op = steps.op[player.step];
    if (op < 0) return [player.step, player.step];
    return [steps.op.indexOf(op), steps.op.lastIndexOf(op)];
  }

  function nearTool() {
    let [from, to] = [0, steps.count - 1];
    while (from < player.step && steps.start[from + 1] < player.time - near) from += 1;
    while (to > player.step && steps.start[to] > player.time + near) to -= 1;
    return [from, to];
  }

  // `choice` is near, operation, all or none; `range` bounds the steps, `from` and `to` the places.
  return (choice) => {
    const now = player.step + player.share;
    if (choice === "near") {
      const range = nearTool();
      const from = placeAt(player.time - near, range[0]);
      const to = placeAt(Math.min(total, player.time + near), range[1]);
      return { path: true, range, from, to, now };
    }
    const range = choice === "operation" ? ofOperation() : [0, steps.count - 1];
    return { path: choice !== "none", range, from: range[0], to: range[1] + 1, now };
  };
}
