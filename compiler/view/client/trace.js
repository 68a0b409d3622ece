// Engagement over the program's time as a strip under the slider: where the cutter works hard.

const MOST = 180;

export function makeTrace(canvas, program) {
  const pen = canvas.getContext("2d");

  // The greatest angle in each column of pixels.
  function columns(width) {
    const found = new Float32Array(width);
    const { steps, total, degrees } = program;
    for (let k = 0; k < steps.count; k += 1) {
      const many = steps.bins[k];
      for (let n = 0; n < many; n += 1) {
        const time = steps.start[k] + (steps.time[k] * (n + 0.5)) / many;
        const at = Math.min(width - 1, Math.floor((time / total) * width));
        found[at] = Math.max(found[at], degrees[steps.bin0[k] + n]);
      }
    }
    return found;
  }

  return {
    draw() {
      const ratio = window.devicePixelRatio;
      const [w, h] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
      if (!w || !h) return;
      [canvas.width, canvas.height] = [w, h];
      const look = getComputedStyle(canvas);
      pen.fillStyle = look.getPropertyValue("--trace");
      columns(w).forEach((angle, x) => {
        const tall = (h * angle) / MOST;
        pen.fillRect(x, h - tall, 1, tall);
      });
      pen.fillStyle = look.getPropertyValue("--rule");
      pen.fillRect(0, Math.round(h / 2), w, 1); // 90 degrees
    },
  };
}
