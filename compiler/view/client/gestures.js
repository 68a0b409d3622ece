// Fingers and mouse on the picture: one turns, two (or the right button, or Shift) shift and zoom.

export function bindGestures(canvas, camera, redraw) {
  const down = new Map();
  const spot = (event) => [event.offsetX, event.offsetY];

  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, spot(event));
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(kind, (event) => down.delete(event.pointerId));
  }
  canvas.addEventListener("pointermove", (event) => {
    const before = down.get(event.pointerId);
    if (!before) return;
    const now = spot(event);
    const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
    if (down.size > 1) pinch(event.pointerId, before, now);
    else if (event.shiftKey || event.buttons === 2) camera.shift(dx, dy);
    else camera.rotate(dx * 0.4, dy * 0.4);
    down.set(event.pointerId, now);
    redraw();
  });

  function pinch(id, before, now) {
    const [, other] = [...down].find(([key]) => key !== id);
    const apart = (p) => Math.hypot(p[0] - other[0], p[1] - other[1]) || 1;
    camera.shift((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    const middle = [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2];
    camera.closer(apart(now) / apart(before), ...middle);
  }

  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    camera.closer(Math.exp(-event.deltaY * 0.0015), ...spot(event));
    redraw();
  }, { passive: false });
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
}
