// Two small programs for the graphics unit: faces, and lines. WebGL 2.

import { dot } from "./camera.js";

export const FACE_VERTEX = `#version 300 es
in vec3 place;
in vec4 facing; // normal, and the kind of face
uniform mat4 view;
uniform vec3 offset;
out vec3 at;
out vec3 normal;
flat out int kind;
void main() {
  at = place + offset;
  normal = facing.xyz;
  kind = int(facing.w + 0.5);
  gl_Position = view * vec4(at, 1.0);
}`;

// Hatching at 45 degrees tells what stands from what was cut, as ISO 128-3 hatches sections:
// not by colour alone.
export const FACE_PIXEL = `#version 300 es
precision highp float;
in vec3 at;
in vec3 normal;
flat in int kind;
uniform vec3 colours[14];
uniform vec3 light;
uniform vec4 plane; // keeps dot(plane.xyz, at) <= plane.w
uniform float hatch; // mm from line to line
uniform float fine; // mm a pixel
uniform float alpha;
uniform float deep; // Z of the deepest cut
uniform float top;
uniform vec3 ink;
out vec4 colour;
float lines(float s, float width) {
  float d = abs(fract(s / hatch) - 0.5) * hatch;
  return 1.0 - smoothstep(width * fine, (width + 1.0) * fine, d);
}
void main() {
  if (dot(plane.xyz, at) > plane.w + 1e-4) discard;
  vec3 base = colours[kind];
  vec3 n = normalize(normal);
  float lit = 0.70 + 0.30 * max(0.0, dot(n, light)) - 0.12 * max(0.0, -dot(n, light));
  // seen from inside where a section opens it: shown like a cut face
  bool inside = kind == 8 && !gl_FrontFacing;
  if (kind == 6 || kind == 7 || inside) lit = 1.0;
  if (kind == 1) lit -= 0.10 * clamp((top - at.z) / max(0.01, top - deep), 0.0, 1.0);
  vec3 shade = base * lit;
  float s = 1e9;
  if (kind == 2) s = (at.x + at.y) * 0.70711;
  if (kind == 6) s = (at.x + at.y - at.z) * 0.70711;
  if (kind == 7) s = (at.x + at.y + at.z) * 0.70711;
  if (kind == 8 && !inside) s = (at.x - at.y) * 0.70711;
  if (s < 1e8) {
    float strong = kind == 8 ? 0.25 : kind == 2 ? 0.42 : 0.6;
    shade = mix(shade, ink, strong * lines(s, 0.35));
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
