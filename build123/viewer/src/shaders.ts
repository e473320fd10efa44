// Programs of the picture. A body's place, colour and state are read from one table of texels, so that equal parts share
// their geometry and a slider moves five hundred parts by writing one small texture.

/** Texels a body: three rows of its matrix, its colour with its state, its stock. */
export const TEXELS = 5;

/** How a body is drawn. */
export enum Look {
  gone = 0,
  plain = 1,
  lines = 2,
  glass = 3,
  chosen = 4,
}

const TABLE = /* glsl */ `
uniform highp sampler2D table;
in float body;
vec4 row(int n) { return texelFetch(table, ivec2(n, int(body + 0.5)), 0); }
vec3 placed(vec3 p) { vec4 h = vec4(p, 1.0); return vec3(dot(row(0), h), dot(row(1), h), dot(row(2), h)); }
`;

export const FACE_VERTEX = /* glsl */ `
${TABLE}
out vec3 bench; out vec3 world; out vec3 eye; flat out vec4 colour; flat out vec4 stock;
uniform float through;
void main() {
  colour = row(3); stock = row(4);
  bench = position; world = placed(position);
  vec4 seen = viewMatrix * vec4(world, 1.0);
  eye = seen.xyz;
  gl_Position = projectionMatrix * seen;
  bool glass = colour.a > 2.5 && colour.a < 3.5;
  if (colour.a < 0.5 || (colour.a > 1.5 && colour.a < 2.5) || glass != (through > 0.5)) gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
}`;

/** Wood: flat light, and a hint of grain along the bench's x: long streaks on faces, plies on a sheet's edges, rings on a
 * board's ends. All of it fades before it is finer than the pixels. */
export const FACE_FRAGMENT = /* glsl */ `
precision highp float;
uniform vec4 plane; uniform float cutting; uniform vec3 tint; uniform float lift;
in vec3 bench; in vec3 world; in vec3 eye; flat in vec4 colour; flat in vec4 stock;
out vec4 outColour;
float hash(float n) { return fract(sin(n * 91.3458) * 47453.5453); }
float streak(float v) { float i = floor(v); float f = fract(v); return mix(hash(i), hash(i + 1.0), f * f * (3.0 - 2.0 * f)); }
float faded(float v) { return 1.0 - smoothstep(0.25, 0.9, fwidth(v)); }
void main() {
  if (cutting > 0.5 && dot(world, plane.xyz) > plane.w) discard;
  vec3 n = normalize(cross(dFdx(eye), dFdy(eye)));
  vec3 b = abs(normalize(cross(dFdx(bench), dFdy(bench))));
  float light = 0.66 + 0.24 * max(dot(n, normalize(vec3(-0.35, 0.75, 0.55))), 0.0) + 0.16 * max(dot(n, vec3(0.0, 0.0, 1.0)), 0.0);
  vec3 base = pow(colour.rgb, vec3(lift));
  float grain = 0.0;
  if (stock.x > 0.5) {
    float across = b.z > 0.6 ? bench.y : bench.z;
    float v = across * 0.42 + 0.9 * sin(bench.x * 0.006 + across * 0.05) + stock.z * 13.0;
    float w = across * 0.09 + 0.6 * sin(bench.x * 0.003 + across * 0.02) + stock.z * 7.0;
    grain = (streak(v) - 0.5) * 0.075 * faded(v) + (streak(w) - 0.5) * 0.10 * faded(w);
    if (stock.x > 1.5 && b.z < 0.4) {
      float ply = bench.z / stock.y * stock.w;
      grain = (mod(floor(ply), 2.0) - 0.5) * 0.13 * faded(ply);
    } else if (stock.x < 1.5 && b.x > 0.6) {
      float ring = length(vec2(bench.y - 20.0, bench.z + 60.0)) * 0.35;
      grain = (streak(ring) - 0.5) * 0.16 * faded(ring);
    }
  }
  vec3 c = base * (light + grain);
  if (colour.a > 3.5) c = mix(c, tint * (0.3 + 0.78 * light), 0.62);
  outColour = vec4(c, colour.a > 2.5 && colour.a < 3.5 ? 0.42 : 1.0);
}`;

/** A stroke of some pixels between two points, made of four corners. */
const STROKE = /* glsl */ `
uniform vec2 window; uniform float bias;
vec4 stroke(vec3 p, vec3 q, vec2 corner, float wide) {
  vec4 a = viewMatrix * vec4(p, 1.0), b = viewMatrix * vec4(q, 1.0);
  float near = -1.0;
  if (projectionMatrix[3][3] < 0.5) {
    if (a.z > near && b.z > near) return vec4(2.0, 2.0, 2.0, 1.0);
    if (a.z > near) a = mix(b, a, (near - b.z) / (a.z - b.z));
    if (b.z > near) b = mix(a, b, (near - a.z) / (b.z - a.z));
  }
  vec4 ca = projectionMatrix * a, cb = projectionMatrix * b;
  vec2 way = (cb.xy / cb.w - ca.xy / ca.w) * window;
  way = length(way) > 1e-4 ? normalize(way) : vec2(1.0, 0.0);
  vec4 at = corner.x < 0.5 ? ca : cb;
  vec2 off = vec2(-way.y, way.x) * corner.y + way * (corner.x * 2.0 - 1.0) * 0.5;
  at.xy += off * wide / window * at.w;
  // As deep as a point some tenths of a pixel nearer: over its own faces, under those of a thin part before it.
  vec4 nearer = projectionMatrix * ((corner.x < 0.5 ? a : b) + vec4(0.0, 0.0, bias, 0.0));
  at.z = nearer.z / nearer.w * at.w;
  return at;
}
`;

export const LINE_VERTEX = /* glsl */ `
${TABLE}
${STROKE}
in vec3 from; in vec3 to; in vec2 corner;
uniform float wide; uniform float strong;
out vec3 world; flat out float look;
void main() {
  look = row(3).a;
  vec3 p = placed(from), q = placed(to);
  world = corner.x < 0.5 ? p : q;
  gl_Position = look < 0.5 ? vec4(2.0, 2.0, 2.0, 1.0) : stroke(p, q, corner, look > 3.5 ? strong : wide);
}`;

export const LINE_FRAGMENT = /* glsl */ `
precision highp float;
uniform vec4 plane; uniform float cutting; uniform vec3 ink; uniform vec3 faint; uniform vec3 accent;
in vec3 world; flat in float look;
out vec4 outColour;
void main() {
  if (cutting > 0.5 && dot(world, plane.xyz) > plane.w + 0.01) discard;
  outColour = vec4(look > 3.5 ? accent : look > 1.5 && look < 2.5 ? faint : ink, 1.0);
}`;

/** Strokes that stand in the piece by themselves: cut outlines, measures, marks. */
export const FREE_VERTEX = /* glsl */ `
${STROKE}
in vec3 from; in vec3 to; in vec2 corner;
uniform float wide;
void main() { gl_Position = stroke(from, to, corner, wide); }`;

export const FREE_FRAGMENT = /* glsl */ `
precision highp float;
uniform vec3 ink;
out vec4 outColour;
void main() { outColour = vec4(ink, 1.0); }`;

/** Cut wood and shared wood: a flat colour with strokes across it, so that it reads without colour. */
export const HATCH_VERTEX = /* glsl */ `
in vec3 tint; in float lean;
out vec3 world; out vec3 shade; flat out float way;
void main() {
  world = position; shade = tint; way = lean;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
}`;

export const HATCH_FRAGMENT = /* glsl */ `
precision highp float;
uniform vec3 across; uniform vec3 along; uniform float gap; uniform vec3 ink; uniform float strength; uniform vec4 plane; uniform float cutting;
in vec3 world; in vec3 shade; flat in float way;
out vec4 outColour;
void main() {
  if (cutting > 0.5 && dot(world, plane.xyz) > plane.w + 0.05) discard;
  float v = (dot(world, across) + way * dot(world, along)) / gap;
  float width = fwidth(v);
  float line = 1.0 - smoothstep(0.06, 0.06 + width * 1.2, abs(fract(v) - 0.5));
  outColour = vec4(mix(shade, ink, line * strength * (1.0 - smoothstep(0.3, 0.9, width))), 1.0);
}`;
