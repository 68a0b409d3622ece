// Smooth edges when there is time: drawn four samples a pixel aside, then brought to the canvas.

const SAMPLES = 4;
const SLOW = 28; // ms a frame while something moves: then smoothness waits until all is at rest

export function makeTarget(gl) {
  const frame = gl.createFramebuffer();
  const [colour, depth] = [gl.createRenderbuffer(), gl.createRenderbuffer()];
  const samples = Math.min(SAMPLES, gl.getParameter(gl.MAX_SAMPLES));
  let [width, height] = [0, 0];

  function fit() {
    if (width === gl.drawingBufferWidth && height === gl.drawingBufferHeight) return;
    [width, height] = [gl.drawingBufferWidth, gl.drawingBufferHeight];
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    for (const [buffer, format, place] of [
      [colour, gl.RGBA8, gl.COLOR_ATTACHMENT0],
      [depth, gl.DEPTH_COMPONENT24, gl.DEPTH_ATTACHMENT],
    ]) {
      gl.bindRenderbuffer(gl.RENDERBUFFER, buffer);
      gl.renderbufferStorageMultisample(gl.RENDERBUFFER, samples, format, width, height);
      gl.framebufferRenderbuffer(gl.FRAMEBUFFER, place, gl.RENDERBUFFER, buffer);
    }
  }

  return (smooth, draw) => {
    if (!smooth || samples < 2) {
      gl.bindFramebuffer(gl.FRAMEBUFFER, null);
      draw();
      return;
    }
    fit();
    gl.bindFramebuffer(gl.FRAMEBUFFER, frame);
    draw();
    gl.bindFramebuffer(gl.READ_FRAMEBUFFER, frame);
    gl.bindFramebuffer(gl.DRAW_FRAMEBUFFER, null);
    gl.blitFramebuffer(0, 0, width, height, 0, 0, width, height, gl.COLOR_BUFFER_BIT, gl.NEAREST);
  };
}

// Whether moving frames may be smooth, from how long they took.
export function makePace() {
  let mean = 16;
  let smooth = true;
  return {
    get smooth() { return smooth; },
    took(ms) {
      mean += 0.25 * (ms - mean);
      if (mean > SLOW) smooth = false;
    },
  };
}
