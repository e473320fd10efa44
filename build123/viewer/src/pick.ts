// What lies under a pixel: the nearest wood, and the point, edge or face of it that a measure would take.
import type { Body, Model } from "./model";
import { placed } from "./model";
import type { Vec } from "./report";
import type { Rig } from "./rig";
import type { Cap, Plane } from "./section";
import { add, cross, dot, norm, scale, sub, unit } from "./vec";

export interface Hit {
  readonly body: Body;
  readonly point: Vec;
  readonly normal: Vec;
  readonly distance: number;
}

export type Taken =
  | { readonly kind: "point"; readonly body: string; readonly at: Vec }
  | { readonly kind: "edge"; readonly body: string; readonly at: Vec; readonly from: Vec; readonly to: Vec }
  | { readonly kind: "round"; readonly body: string; readonly at: Vec; readonly middle: Vec; readonly axis: Vec; readonly radius: number; readonly ring: readonly Vec[] }
  | { readonly kind: "face"; readonly body: string; readonly at: Vec; readonly normal: Vec };

export interface Shown {
  readonly model: Model;
  readonly solid: (body: Body) => boolean;
  readonly offset: (body: Body) => Vec;
  readonly plane: Plane | null;
  readonly caps: readonly Cap[];
}

type Ray = { origin: Vec; direction: Vec };

/** The first solid body along a ray, with regard to what is cut away. */
export function firstHit(ray: Ray, shown: Shown): Hit | null {
  let best: Hit | null = null;
  for (const body of shown.model.bodies) {
    if (!shown.solid(body)) continue;
    const offset = shown.offset(body);
    if (!meets(ray, add(body.low, offset), add(body.high, offset), best?.distance ?? Infinity)) continue;
    best = nearer(best, bodyHit(ray, body, offset, shown));
  }
  if (shown.plane) for (const cap of shown.caps) best = nearer(best, capHit(ray, cap, shown.plane));
  return best;
}

const nearer = (a: Hit | null, b: Hit | null): Hit | null => (!b || (a && a.distance <= b.distance) ? a : b);

function meets(ray: Ray, low: Vec, high: Vec, before: number): boolean {
  let [near, far] = [0, before];
  for (let k = 0; k < 3; k++) {
    const d = ray.direction[k]!;
    if (Math.abs(d) < 1e-12) {
      if (ray.origin[k]! < low[k]! || ray.origin[k]! > high[k]!) return false;
      continue;
    }
    const [a, b] = [(low[k]! - ray.origin[k]!) / d, (high[k]! - ray.origin[k]!) / d];
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  return near <= far;
}

function bodyHit(ray: Ray, body: Body, offset: Vec, shown: Shown): Hit | null {
  const { vertices: v, faces } = shown.model.shapes[body.shape]!;
  const [r, from] = [body.rows, sub(ray.origin, add(body.origin, offset))];
  const turned = (a: Vec): Vec => [0, 1, 2].map((k) => r[0][k]! * a[0] + r[1][k]! * a[1] + r[2][k]! * a[2]) as unknown as Vec;
  const [o, d] = [turned(from), turned(ray.direction)];
  let [best, normal]: [number, Vec] = [Infinity, [0, 0, 0]];
  for (let f = 0; f < faces.length; f += 3) {
    const [i, j, m] = [faces[f]! * 3, faces[f + 1]! * 3, faces[f + 2]! * 3];
    const [ax, ay, az] = [v[i]!, v[i + 1]!, v[i + 2]!];
    const [bx, by, bz] = [v[j]! - ax, v[j + 1]! - ay, v[j + 2]! - az];
    const [cx, cy, cz] = [v[m]! - ax, v[m + 1]! - ay, v[m + 2]! - az];
    const [px, py, pz] = [d[1] * cz - d[2] * cy, d[2] * cx - d[0] * cz, d[0] * cy - d[1] * cx];
    const det = bx * px + by * py + bz * pz;
    if (det < 1e-9) continue; // seen from inside, or along it
    const [tx, ty, tz] = [o[0] - ax, o[1] - ay, o[2] - az];
    const a = (tx * px + ty * py + tz * pz) / det;
    if (a < 0 || a > 1) continue;
    const [qx, qy, qz] = [ty * bz - tz * by, tz * bx - tx * bz, tx * by - ty * bx];
    const b = (d[0] * qx + d[1] * qy + d[2] * qz) / det;
    if (b < 0 || a + b > 1) continue;
    const t = (cx * qx + cy * qy + cz * qz) / det;
    if (t <= 0 || t >= best) continue;
    const p = add(ray.origin, scale(ray.direction, t));
    if (shown.plane && dot(p, shown.plane.normal) > shown.plane.at + 1e-3) continue;
    best = t;
    normal = unit(cross([bx, by, bz], [cx, cy, cz]));
  }
  if (best === Infinity) return null;
  const out: Vec = [dot(r[0], normal), dot(r[1], normal), dot(r[2], normal)];
  return { body, point: add(ray.origin, scale(ray.direction, best)), normal: out, distance: best };
}

function capHit(ray: Ray, cap: Cap, plane: Plane): Hit | null {
  const along = dot(ray.direction, plane.normal);
  const t = (plane.at - dot(ray.origin, plane.normal)) / along;
  if (!(along < 0) || t <= 0) return null;
  const p = add(ray.origin, scale(ray.direction, t));
  for (let n = 0; n < cap.triangles.length; n += 3) {
    const corners = [cap.triangles[n]!, cap.triangles[n + 1]!, cap.triangles[n + 2]!];
    const turns = corners.map((a, k) => dot(plane.normal, cross(sub(corners[(k + 1) % 3]!, a), sub(p, a))));
    if (turns.every((turn) => turn >= 0) || turns.every((turn) => turn <= 0)) return { body: cap.body, point: p, normal: plane.normal, distance: t };
  }
  return null;
}

/** The corner, edge or face at a pixel, in the piece as it is built (what is pulled apart is measured where it belongs). */
export function take(rig: Rig, x: number, y: number, reachPx: number, shown: Shown): Taken | null {
  const hit = around(rig, x, y, reachPx, shown);
  if (!hit) return null;
  const offset = shown.offset(hit.body);
  const back = (p: Vec): Vec => sub(p, offset);
  const far = (p: Vec): number => {
    const seen = rig.pixel(p);
    if (!seen || (shown.plane && dot(p, shown.plane.normal) > shown.plane.at + 0.01)) return Infinity;
    const behind = dot(sub(p, hit.point), rig.ray(seen.x, seen.y).direction);
    return Math.hypot(seen.x - x, seen.y - y) + Math.max(behind / rig.mmPerPixel, 0) * 0.4;
  };
  const shape = shown.model.shapes[hit.body.shape]!;
  let corner: { at: Vec; far: number } | null = null;
  let edge: { line: Vec[]; n: number; at: Vec; far: number } | null = null;
  for (const indexes of shape.lines) {
    const line = Array.from(indexes, (i) => add(placed(hit.body, shape.vertices[3 * i]!, shape.vertices[3 * i + 1]!, shape.vertices[3 * i + 2]!), offset));
    const round = line.length > 2 && circle(line);
    for (const at of round ? [] : [line[0]!, line[line.length - 1]!]) {
      const d = far(at);
      if (d <= reachPx && (!corner || d < corner.far)) corner = { at, far: d };
    }
    for (let n = 0; n + 1 < line.length; n++) {
      const at = nearestOn(rig, line[n]!, line[n + 1]!, x, y);
      const d = at ? far(at) : Infinity;
      if (d <= reachPx * 0.75 && (!edge || d < edge.far)) edge = { line, n, at: at!, far: d };
    }
  }
  if (corner) return { kind: "point", body: hit.body.name, at: back(corner.at) };
  if (edge) {
    const round = edge.line.length > 2 && circle(edge.line);
    if (round) return { kind: "round", body: hit.body.name, at: back(edge.at), ...round, middle: back(round.middle), ring: edge.line.map(back) };
    return { kind: "edge", body: hit.body.name, at: back(edge.at), from: back(edge.line[edge.n]!), to: back(edge.line[edge.n + 1]!) };
  }
  return { kind: "face", body: hit.body.name, at: back(hit.point), normal: hit.normal };
}

/** The hit at a pixel, else at the nearest of a ring about it, so that an outer edge can be taken from outside. */
function around(rig: Rig, x: number, y: number, reachPx: number, shown: Shown): Hit | null {
  const straight = firstHit(rig.ray(x, y), shown);
  if (straight) return straight;
  for (let n = 0; n < 8; n++) {
    const turn = (n * Math.PI) / 4;
    const hit = firstHit(rig.ray(x + Math.cos(turn) * reachPx * 0.7, y + Math.sin(turn) * reachPx * 0.7), shown);
    if (hit) return hit;
  }
  return null;
}

function nearestOn(rig: Rig, a: Vec, b: Vec, x: number, y: number): Vec | null {
  const [p, q] = [rig.pixel(a), rig.pixel(b)];
  if (!p || !q) return null;
  const [dx, dy] = [q.x - p.x, q.y - p.y];
  const length = dx * dx + dy * dy;
  const t = length ? Math.min(Math.max(((x - p.x) * dx + (y - p.y) * dy) / length, 0), 1) : 0;
  return add(a, scale(sub(b, a), t));
}

/** The circle through a polyline; null where it lies on none. */
function circle(line: readonly Vec[]): { middle: Vec; axis: Vec; radius: number } | null {
  const [a, b, c] = [line[0]!, line[Math.floor(line.length / 3)]!, line[Math.floor((line.length * 2) / 3)]!];
  const [ab, ac] = [sub(b, a), sub(c, a)];
  const axis = cross(ab, ac);
  const area = dot(axis, axis);
  if (area < 1e-9) return null;
  const to = scale(add(scale(cross(axis, ab), dot(ac, ac)), scale(cross(ac, axis), dot(ab, ab))), 1 / (2 * area));
  const [middle, radius] = [add(a, to), norm(to)];
  const round = line.every((p) => Math.abs(norm(sub(p, middle)) - radius) < Math.max(0.01, radius * 1e-3));
  return round ? { middle, axis: unit(axis), radius } : null;
}
