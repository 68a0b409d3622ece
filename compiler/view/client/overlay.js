// What is written over the picture: datum, axes, scale bar. Drawn flat, so that it stays readable.

export function makeOverlay(canvas, camera, say, units) {
  const pen = canvas.getContext("2d");

  function datum() {
    const at = camera.place([0, 0, 0]);
    const [right, up] = camera.axes();
    const names = ["X", "Y", "Z"];
    names.forEach((name, axis) => {
      const way = [right[axis], -up[axis]];
      const long = Math.hypot(...way);
      if (long < 0.12) return; // looked at from its end
      const tip = [at[0] + way[0] * 42, at[1] + way[1] * 42];
      arrow(at, tip);
      pen.fillText(name, at[0] + way[0] * 42 + (way[0] / long) * 10, at[1] + way[1] * 42 + (way[1] / long) * 10);
    });
    quartered(at, 6);
  }

  // A circle with two black quarters: the sign of the setup sheet for X0 Y0 Z0.
  function quartered([x, y], radius) {
    circle(x, y, radius);
    pen.fillStyle = colour("--paper");
    pen.fill();
    pen.stroke();
    pen.fillStyle = colour("--text");
    for (const start of [0, Math.PI]) {
      pen.beginPath();
      pen.moveTo(x, y);
      pen.arc(x, y, radius, start - Math.PI / 2, start);
      pen.fill();
    }
  }

  function circle(x, y, radius) {
    pen.beginPath();
    pen.arc(x, y, radius, 0, 2 * Math.PI);
  }

  function arrow(from, to) {
    pen.beginPath();
    pen.moveTo(...from);
    pen.lineTo(...to);
    pen.stroke();
    const angle = Math.atan2(to[1] - from[1], to[0] - from[0]);
    pen.beginPath();
    pen.moveTo(...to);
    for (const side of [-1, 1]) {
      pen.lineTo(to[0] - 9 * Math.cos(angle + side * 0.17), to[1] - 9 * Math.sin(angle + side * 0.17));
    }
    pen.fill();
  }

  // A bar of a round length, half filled, as on the sheet's drawings.
  function scaleBar() {
    const unit = units === "inch" ? 25.4 : 1;
    const perUnit = camera.scale() * unit;
    const wanted = 110 / perUnit;
    const power = 10 ** Math.floor(Math.log10(wanted));
    const count = [5, 2, 1].find((n) => n * power <= wanted) ?? 1;
    const long = count * power * perUnit;
    const [x, y] = [16, camera.height - 20];
    const said = say.short(count * power * unit);
    pen.fillStyle = colour("--paper");
    pen.fillRect(x - 6, y - 8, long + 20 + pen.measureText(said).width, 22);
    pen.fillStyle = colour("--text");
    pen.fillRect(x, y, long / 2, 5);
    pen.strokeRect(x + 0.5, y + 0.5, long, 5);
    pen.textAlign = "left";
    pen.fillText(said, x + long + 8, y + 3);
    pen.textAlign = "center";
  }

  let drawn = "";
  return {
    forget() {
      drawn = "";
    },
    // Only where something has moved: it costs as much as the picture on a slow machine.
    draw(ratio) {
      const { turn, tilt, zoom, target, width, height, inset } = camera;
      const key = [turn, tilt, zoom, ...target, width, height, inset, ratio, colour("--text")].join();
      if (key === drawn) return;
      drawn = key;
      pen.setTransform(ratio, 0, 0, ratio, 0, 0);
      pen.clearRect(0, 0, camera.width, camera.height);
      pen.font = "600 12px system-ui, sans-serif";
      pen.textAlign = "center";
      pen.textBaseline = "middle";
      pen.lineWidth = 1.2;
      pen.strokeStyle = pen.fillStyle = colour("--text");
      datum();
      pen.fillStyle = colour("--text");
      scaleBar();
    },
  };
}

function colour(name) {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}
