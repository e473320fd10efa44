// The cut wood where a plane goes through closed meshes: outlines by walking from triangle to triangle, filled flat.
import { ShapeUtils, Vector2 } from "three";
import type { Body, Shape } from "./model";
import type { Vec } from "./report";
import { add, cross, dot, scale, sub } from "./vec";

export interface Plane {
  /** Unit normal; what lies beyond `at` along it is cut away. */
  readonly normal: Vec;
  readonly at: number;
}

export interface Cap {
  readonly body: Body;
  readonly loops: readonly (readonly Vec[])[];
  /** Corners of triangles, three and three, in the piece. */
  readonly triangles: readonly Vec[];
}

const SAME_MM = 1e-4;

/** Two directions in the plane, right-handed with its normal. */
export function inPlane(normal: Vec): { u: Vec; v: Vec } {
  const u: Vec = Math.abs(normal[2]) > 0.9 ? [1, 0, 0] : cross([0, 0, 1], normal);
  return { u, v: cross(normal, u) };
}

/** The cap of one body moved by `offset`; null where the plane misses it. */
export function capOf(body: Body, shape: Shape, offset: Vec, plane: Plane): Cap | null {
  const { rows } = body;
  const n = plane.normal;
  const local: Vec = [0, 1, 2].map((k) => n[0] * rows[0][k]! + n[1] * rows[1][k]! + n[2] * rows[2][k]!) as unknown as Vec;
  const origin = add(body.origin, offset);
  const at = plane.at - dot(n, origin);
  const loops = outlines(shape, local, at);
  if (!loops.length) return null;
  const world = loops.map((loop) =>
    loop.map((p): Vec => [dot(rows[0], p) + origin[0], dot(rows[1], p) + origin[1], dot(rows[2], p) + origin[2]]),
  );
  return { body, loops: world, triangles: filled(world, n) };
}

/** Closed outlines in the bench frame, counter-clockwise about wood, clockwise about holes (seen against the normal). */
function outlines(shape: Shape, n: Vec, at: number): Vec[][] {
  const { vertices: v, faces } = shape;
  const count = v.length / 3;
  const side = new Float64Array(count);
  let [some, others] = [false, false];
  for (let i = 0; i < count; i++) {
    side[i] = n[0] * v[3 * i]! + n[1] * v[3 * i + 1]! + n[2] * v[3 * i + 2]! - at;
    if (side[i]! >= 0) some = true;
    else others = true;
  }
  if (!some || !others) return [];
  const next = new Map<number, number>();
  const key = (a: number, b: number) => (a < b ? a * count + b : b * count + a);
  for (let f = 0; f < faces.length; f += 3) {
    const corners = [faces[f]!, faces[f + 1]!, faces[f + 2]!] as const;
    const above = corners.map((c) => side[c]! >= 0);
    if (above[0] === above[1] && above[1] === above[2]) continue;
    let [up, down] = [-1, -1];
    for (let k = 0; k < 3; k++) {
      const [a, b] = [corners[k]!, corners[(k + 1) % 3]!];
      if (above[k] === above[(k + 1) % 3]) continue;
      if (above[k]) down = key(a, b);
      else up = key(a, b);
    }
    next.set(down, up);
  }
  const point = (edge: number): Vec => {
    const [a, b] = [Math.floor(edge / count), edge % count];
    const t = side[a]! / (side[a]! - side[b]!);
    return [0, 1, 2].map((k) => v[3 * a + k]! + (v[3 * b + k]! - v[3 * a + k]!) * t) as unknown as Vec;
  };
  const loops: Vec[][] = [];
  while (next.size) {
    const start = next.keys().next().value!;
    const loop: Vec[] = [];
    for (let edge: number | undefined = start; edge !== undefined && next.has(edge);) {
      const p = point(edge);
      const before = loop[loop.length - 1];
      if (!before || Math.hypot(...sub(p, before)) > SAME_MM) loop.push(p);
      const after: number = next.get(edge)!;
      next.delete(edge);
      edge = after;
    }
    if (loop.length > 2) loops.push(loop);
  }
  return loops;
}

function filled(loops: readonly (readonly Vec[])[], normal: Vec): Vec[] {
  const { u, v } = inPlane(normal);
  const lift = scale(normal, dot(normal, loops[0]![0]!));
  const flat = loops.map((loop) => loop.map((p) => new Vector2(dot(p, u), dot(p, v))));
  const areas = flat.map((loop) => ShapeUtils.area(loop));
  const order = flat.map((_, n) => n).sort((a, b) => Math.abs(areas[a]!) - Math.abs(areas[b]!));
  const outer = order.filter((n) => areas[n]! > 0);
  const holes = new Map<number, Vector2[][]>(outer.map((n) => [n, []]));
  for (const n of order) {
    if (areas[n]! > 0) continue;
    // The least outline about a hole is the one it is in.
    const home = outer.find((m) => areas[m]! > -areas[n]! && within(flat[n]![0]!, flat[m]!));
    if (home !== undefined) holes.get(home)!.push(flat[n]!);
  }
  const out: Vec[] = [];
  for (const n of outer) {
    const corners = [...flat[n]!, ...holes.get(n)!.flat()];
    for (const triangle of ShapeUtils.triangulateShape(flat[n]!, holes.get(n)!))
      for (const k of triangle) out.push(add(lift, add(scale(u, corners[k]!.x), scale(v, corners[k]!.y))));
  }
  return out;
}

function within(p: Vector2, loop: readonly Vector2[]): boolean {
  let inside = false;
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [a, b] = [loop[i]!, loop[j]!];
    if (a.y > p.y !== b.y > p.y && p.x < ((b.x - a.x) * (p.y - a.y)) / (b.y - a.y) + a.x) inside = !inside;
  }
  return inside;
}
