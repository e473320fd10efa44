// What lies under a pixel: the nearest wood, and the point, edge or face of it that a measure would take.
import type { Body, Model } from "./model";
import { placed } from "./model";
import type { Vec } from "./report";
import { axes, type Rig } from "./rig";
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
  | {
      readonly kind: "round";
      readonly body: string;
      readonly at: Vec;
      readonly middle: Vec;
      readonly axis: Vec;
      readonly radius: number;
      readonly ring: readonly Vec[];
    }
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
    if (turns.every((turn) => turn >= 0) || turns.every((turn) => turn <= 0))
      return { body: cap.body, point: p, normal: plane.normal, distance: t };
  }
  return null;
}

interface Candidate {
  readonly rank: number;
  readonly seen: Vec;
  readonly make: () => Taken;
}

/** Of things at one pixel the nearer to the eye comes first: this many pixels' worth of depth weigh as much as one pixel aside. */
const DEPTH = 200;
/** How many of the nearest corners and edges are tried: those that something hides do not count. */
const TRIES = 6;

/** The corner, edge or face at a pixel, in the piece as it is built (what is pulled apart is measured where it belongs). */
export function take(rig: Rig, x: number, y: number, reachPx: number, shown: Shown): Taken | null {
  const hits = around(rig, x, y, reachPx, shown);
  const bodies = new Map(hits.map((hit) => [hit.body.index, hit.body]));
  const corners: Candidate[] = [];
  const edges: Candidate[] = [];
  for (const body of bodies.values()) candidates(rig, x, y, reachPx, shown, body, corners, edges);
  for (const some of [corners, edges]) {
    some.sort((a, b) => a.rank - b.rank);
    const found = some.slice(0, TRIES).find((one) => visible(rig, one.seen, shown));
    if (found) return found.make();
  }
  const straight = firstHit(rig.ray(x, y), shown);
  return (
    straight && { kind: "face", body: straight.body.name, at: sub(straight.point, shown.offset(straight.body)), normal: straight.normal }
  );
}

function candidates(
  rig: Rig,
  x: number,
  y: number,
  reachPx: number,
  shown: Shown,
  body: Body,
  corners: Candidate[],
  edges: Candidate[],
): void {
  const offset = shown.offset(body);
  const back = (p: Vec): Vec => sub(p, offset);
  const pixels = (p: Vec): number => {
    const seen = rig.pixel(p);
    return !seen || (shown.plane && dot(p, shown.plane.normal) > shown.plane.at + 0.01) ? Infinity : Math.hypot(seen.x - x, seen.y - y);
  };
  const { back: eyeward } = axes(rig.sight);
  const behind = (p: Vec): number => dot(sub(rig.sight.target, p), eyeward) / rig.mmPerPixel / DEPTH;
  const shape = shown.model.shapes[body.shape]!;
  for (const indexes of shape.lines) {
    const line = Array.from(indexes, (i) =>
      add(placed(body, shape.vertices[3 * i]!, shape.vertices[3 * i + 1]!, shape.vertices[3 * i + 2]!), offset),
    );
    const round = line.length > 2 ? circle(line) : null;
    for (const at of round ? [] : [line[0]!, line[line.length - 1]!]) {
      const away = pixels(at);
      if (away <= reachPx)
        corners.push({ rank: away + behind(at), seen: at, make: () => ({ kind: "point", body: body.name, at: back(at) }) });
    }
    for (let n = 0; n + 1 < line.length; n++) {
      const [from, to] = [line[n]!, line[n + 1]!];
      const at = nearestOn(rig, from, to, x, y);
      const away = at ? pixels(at) : Infinity;
      if (!at || away > reachPx * 0.75) continue;
      edges.push({
        rank: away + behind(at),
        seen: at,
        make: () =>
          round
            ? { kind: "round", body: body.name, at: back(at), ...round, middle: back(round.middle), ring: line.map(back) }
            : { kind: "edge", body: body.name, at: back(at), from: back(from), to: back(to) },
      });
    }
  }
}

/** Whether nothing lies before a point, but for the faces that it is on. */
function visible(rig: Rig, p: Vec, shown: Shown): boolean {
  const pixel = rig.pixel(p);
  if (!pixel) return false;
  const ray = rig.ray(pixel.x, pixel.y);
  const hit = firstHit(ray, shown);
  return !hit || hit.distance >= dot(sub(p, ray.origin), ray.direction) - Math.max(0.5, 3 * rig.mmPerPixel);
}

/** What lies at a pixel and on two rings about it, so that an outer edge can be taken from either side, also of a thin part. */
function around(rig: Rig, x: number, y: number, reachPx: number, shown: Shown): Hit[] {
  const rings = [0.2, 0.7].flatMap((share) =>
    Array.from(
      { length: 8 },
      (_, n) => [x + Math.cos((n * Math.PI) / 4) * reachPx * share, y + Math.sin((n * Math.PI) / 4) * reachPx * share] as const,
    ),
  );
  return [[x, y] as const, ...rings].map(([px, py]) => firstHit(rig.ray(px, py), shown)).filter((hit): hit is Hit => !!hit);
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
