// Two small programs for the graphics unit: faces, and lines. WebGL 2.

import { dot } from "./camera.js";

// All that is the same over a face is worked out at its corners: pixels are what costs where there
// is no graphics unit. Hatching at 45 degrees tells what stands from what was cut, as ISO 128-3
// hatches sections: not by colour alone.
export const FACE_VERTEX = `#version 300 es
in vec3 place;
in vec4 facing; // normal, and the kind of face
uniform mat4 view;
uniform vec3 offset;
uniform vec3 colours[14];
uniform vec3 light;
uniform vec4 plane; // keeps dot(plane.xyz, at) <= plane.w
uniform float deep; // Z of the deepest cut
uniform float top;
flat out vec4 paint; // colour, and how strong its hatching is
flat out vec4 plain; // colour without light, and 1 where inner sides are cut faces
out float stripe; // mm across the hatching
out float beyond; // mm beyond the section
void main() {
  vec3 at = place + offset;
  int kind = int(facing.w + 0.5);
  vec3 base = colours[kind];
  vec3 n = normalize(facing.xyz);
  float lit = 0.70 + 0.30 * max(0.0, dot(n, light)) - 0.12 * max(0.0, -dot(n, light));
  if (kind == 6 || kind == 7) lit = 1.0;
  if (kind == 1) lit -= 0.10 * clamp((top - at.z) / max(0.01, top - deep), 0.0, 1.0);
  float strong = kind == 2 ? 0.42 : kind == 6 || kind == 7 ? 0.6 : kind == 8 ? 0.25 : 0.0;
  vec3 across = kind == 6 ? vec3(1.0, 1.0, -1.0) : kind == 7 ? vec3(1.0)
    : kind == 8 ? vec3(1.0, -1.0, 0.0) : vec3(1.0, 1.0, 0.0);
  paint = vec4(base * lit, strong);
  plain = vec4(base, kind == 8 ? 1.0 : 0.0);
  stripe = dot(at, across) * 0.70711;
  beyond = dot(plane.xyz, at) - plane.w;
  gl_Position = view * vec4(at, 1.0);
}`;

export const FACE_PIXEL = `#version 300 es
precision highp float;
flat in vec4 paint;
flat in vec4 plain;
in float stripe;
in float beyond;
uniform float hatch; // mm from line to line
uniform float fine; // mm a pixel
uniform float alpha;
uniform vec3 ink;
out vec4 colour;
void main() {
  if (beyond > 1e-4) discard;
  vec3 shade = paint.rgb;
  if (paint.a > 0.0) {
    float d = abs(fract(stripe / hatch) - 0.5) * hatch;
    float line = 1.0 - smoothstep(0.35 * fine, 1.35 * fine, d);
    // what holds the work is hollow: where a section opens it, its inner sides show as cut
    bool inner = plain.a > 0.5 && !gl_FrontFacing;
    shade = inner ? plain.rgb : mix(shade, ink, paint.a * line);
  }
  colour = vec4(shade, alpha);
}`;

export const LINE_VERTEX = `#version 300 es
in vec3 place;
in vec3 mark; // place in the program, length along it, and whether it is a rapid
uniform mat4 view;
uniform float lift;
out vec3 at;
out vec3 said;
void main() {
  at = place;
  said = mark;
  vec4 p = view * vec4(place, 1.0);
  gl_Position = vec4(p.xy, p.z - lift, 1.0);
}`;

export const LINE_PIXEL = `#version 300 es
precision highp float;
in vec3 at;
in vec3 said;
uniform vec4 plane;
uniform float now;
uniform vec2 shown; // from and to, in the program
uniform vec4 before;
uniform vec4 after;
uniform float fine;
uniform bool dashed; // all of it, for what is hidden
out vec4 colour;
void main() {
  if (dot(plane.xyz, at) > plane.w + 1e-3) discard;
  if (said.x < shown.x || said.x > shown.y) discard;
  bool past = said.x <= now;
  float along = said.y / fine;
  if (said.z > 0.5 && fract(along / 7.0) > 0.3) discard; // rapids: dots
  if (said.z < 0.5 && !past && fract(along / 12.0) > 0.7) discard; // to come: dashes
  if (dashed && fract(along / 9.0) > 0.6) discard;
  colour = past ? before : after;
}`;

export function makeProgram(gl, vertex, pixel, inputs) {
  const program = gl.createProgram();
  for (const [type, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, pixel]]) {
    const shader = gl.createShader(type);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  inputs.forEach((name, index) => gl.bindAttribLocation(program, index, name));
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) {
    throw new Error(gl.getProgramInfoLog(program) || "the shaders do not link");
  }
  const places = {};
  const count = gl.getProgramParameter(program, gl.ACTIVE_UNIFORMS);
  for (let k = 0; k < count; k += 1) {
    const name = gl.getActiveUniform(program, k).name;
    places[name.replace("[0]", "")] = gl.getUniformLocation(program, name);
  }
  return { program, at: places };
}
