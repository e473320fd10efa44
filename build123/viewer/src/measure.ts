// The distance between two things that were taken, or the size of one.
import type { Taken } from "./pick";
import type { Vec } from "./report";
import { add, cross, dot, norm, scale, sub, unit } from "./vec";

export interface Measure {
  readonly what: string;
  readonly mm: number;
  readonly from: Vec;
  readonly to: Vec;
  /** Where the two are not parallel, the angle between them. */
  readonly degrees: number | null;
}

const PARALLEL = 1 - 1e-9;

/** What one thing measures by itself; null for a point and a face. */
export function sizeOf(one: Taken): Measure | null {
  switch (one.kind) {
    case "edge":
      return { what: "length of the edge", mm: norm(sub(one.to, one.from)), from: one.from, to: one.to, degrees: null };
    case "round": {
      const way = unit(sub(one.at, one.middle));
      const [from, to] = [sub(one.middle, scale(way, one.radius)), add(one.middle, scale(way, one.radius))];
      return { what: "diameter", mm: 2 * one.radius, from, to, degrees: null };
    }
    case "point":
    case "face":
      return null;
  }
}

/** The distance between two; a round counts as its middle. */
export function between(a: Taken, b: Taken): Measure {
  const [p, q] = [anchor(a), anchor(b)];
  const names = `from ${word(a)} to ${word(b)}`;
  const found = (from: Vec, to: Vec, degrees: number | null = null): Measure => ({
    what: names,
    mm: norm(sub(to, from)),
    from,
    to,
    degrees,
  });
  if (a.kind === "face" && b.kind === "face") {
    const angle = Math.abs(dot(a.normal, b.normal));
    if (angle < PARALLEL) return found(p, q, degrees(angle));
    return found(p, add(p, scale(a.normal, dot(sub(q, p), a.normal))));
  }
  if (a.kind === "face" || b.kind === "face") {
    const [face, other] = a.kind === "face" ? [a, b] : [b as Extract<Taken, { kind: "face" }>, a];
    if (other.kind === "edge") {
      const lean = Math.abs(dot(unit(sub(other.to, other.from)), face.normal));
      if (lean > 1e-6) return found(p, q, degrees(Math.sqrt(Math.max(0, 1 - lean * lean))));
    }
    const from = anchor(other);
    return found(from, add(from, scale(face.normal, dot(sub(face.at, from), face.normal))));
  }
  if (a.kind === "edge" && b.kind === "edge") {
    const [u, v] = [unit(sub(a.to, a.from)), unit(sub(b.to, b.from))];
    if (Math.abs(dot(u, v)) >= PARALLEL) return found(p, add(p, squareTo(sub(b.from, p), u)));
    return skew(a.from, u, b.from, v, found);
  }
  if (a.kind === "edge") return found(foot(q, a), q);
  if (b.kind === "edge") return found(p, foot(p, b));
  return found(p, q);
}

/** How far apart along the piece's width, depth and height. */
export const along = (one: Measure): Vec => [0, 1, 2].map((k) => Math.abs(one.to[k]! - one.from[k]!)) as unknown as Vec;

/** "a corner", "an edge". */
export function word(one: Taken): string {
  return { point: "a corner", edge: "an edge", round: "the middle of a round", face: "a face" }[one.kind];
}

const anchor = (one: Taken): Vec => (one.kind === "round" ? one.middle : one.at);
const degrees = (cosine: number): number => (Math.acos(Math.min(1, Math.abs(cosine))) * 180) / Math.PI;
const squareTo = (d: Vec, u: Vec): Vec => sub(d, scale(u, dot(d, u)));

function foot(p: Vec, edge: { readonly from: Vec; readonly to: Vec }): Vec {
  const u = unit(sub(edge.to, edge.from));
  return add(edge.from, scale(u, dot(sub(p, edge.from), u)));
}

function skew(a: Vec, u: Vec, b: Vec, v: Vec, found: (from: Vec, to: Vec, degrees: number | null) => Measure): Measure {
  const n = cross(u, v);
  const d = sub(b, a);
  const [s, t] = [dot(cross(d, v), n) / dot(n, n), dot(cross(d, u), n) / dot(n, n)];
  return found(add(a, scale(u, s)), add(b, scale(v, t)), degrees(dot(u, v)));
}
