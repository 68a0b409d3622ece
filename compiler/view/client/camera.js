// A parallel view, as drawings are made: turned about Z, then tilted; lengths keep their scale.

// Turn and tilt in degrees. From a corner: axonometric (ISO 5456-3), X running more to the right.
export const VIEWS = {
  corner: [-28, 34],
  above: [0, 90],
  front: [0, 0],
  right: [90, 0],
  left: [-90, 0],
  rear: [180, 0],
};

export function makeCamera(reach, bottom, top) {
  const middle = [(reach[0] + reach[2]) / 2, (reach[1] + reach[3]) / 2, (top + bottom) / 2];
  const wide = Math.hypot(reach[2] - reach[0], reach[3] - reach[1], top - bottom);
  const camera = {
    turn: VIEWS.corner[0], tilt: VIEWS.corner[1], target: [...middle], zoom: 1,
    width: 1, height: 1, inset: 0,
  };

  camera.look = (name) => {
    [camera.turn, camera.tilt] = VIEWS[name];
    camera.target = [...middle];
    camera.zoom = 1;
  };

  // `inset` pixels at the left are left free, for the key.
  camera.resize = (width, height, inset) => {
    Object.assign(camera, { width, height, inset });
  };
  const centre = () => [(camera.width + camera.inset) / 2, camera.height / 2];

  // Pixels a millimetre so that the whole work fits the present way of looking.
  camera.scale = () => {
    const [right, up] = axes();
    let [w, h] = [0, 0];
    for (const x of [reach[0], reach[2]]) {
      for (const y of [reach[1], reach[3]]) {
        for (const z of [bottom, top]) {
          const d = [x - middle[0], y - middle[1], z - middle[2]];
          w = Math.max(w, Math.abs(dot(d, right)));
          h = Math.max(h, Math.abs(dot(d, up)));
        }
      }
    }
    const margin = 1.12;
    return camera.zoom * Math.min(
      (camera.width - camera.inset) / (2 * w * margin || 1), camera.height / (2 * h * margin || 1));
  };

  function axes() {
    const [a, b] = [(camera.turn * Math.PI) / 180, (camera.tilt * Math.PI) / 180];
    const right = [Math.cos(a), Math.sin(a), 0];
    const up = [-Math.sin(a) * Math.sin(b), Math.cos(a) * Math.sin(b), Math.cos(b)];
    const back = [Math.sin(a) * Math.cos(b), -Math.cos(a) * Math.cos(b), Math.sin(b)];
    return [right, up, back];
  }
  camera.axes = axes;

  // Column by column, as WebGL wants it.
  camera.matrix = () => {
    const [right, up, back] = axes();
    const s = camera.scale();
    const rows = [
      [right, (2 * s) / camera.width],
      [up, (2 * s) / camera.height],
      [back, -1 / (2 * wide)],
    ].map(([axis, k]) => [...axis.map((v) => v * k), -dot(axis, camera.target) * k]);
    rows[0][3] += camera.inset / camera.width;
    return new Float32Array([0, 1, 2, 3].flatMap((c) => [...rows.map((r) => r[c]), c === 3 ? 1 : 0]));
  };

  // Where a point of the work shows, pixels from the upper left.
  camera.place = (point) => {
    const [right, up] = axes();
    const s = camera.scale();
    const d = point.map((v, axis) => v - camera.target[axis]);
    const [x, y] = centre();
    return [x + s * dot(d, right), y - s * dot(d, up)];
  };

  camera.rotate = (dx, dy) => {
    camera.turn = ((camera.turn - dx + 540) % 360) - 180;
    camera.tilt = Math.max(-90, Math.min(90, camera.tilt + dy));
  };

  camera.shift = (dx, dy) => {
    const [right, up] = axes();
    const s = camera.scale();
    camera.target = camera.target.map((v, k) => v - (dx * right[k]) / s + (dy * up[k]) / s);
  };

  // Nearer or further; the point under (x, y) stays where it is.
  camera.closer = (factor, x = centre()[0], y = centre()[1]) => {
    const zoom = Math.max(0.3, Math.min(60, camera.zoom * factor));
    const by = zoom / camera.zoom;
    const [ox, oy] = [x - centre()[0], y - centre()[1]];
    camera.zoom = zoom;
    camera.shift(-(ox * by - ox), -(oy * by - oy));
  };
  return camera;
}

export function dot(a, b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
