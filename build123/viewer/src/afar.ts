// A shape as it is seen from afar: the mouths of small holes are specks, and most of a drilled part's triangles are in its holes.
import type { Shape } from "./model";

/** A round smaller than this is small. */
const SMALL_MM = 10;

export interface Afar {
  /** Six numbers a segment: edges that are always drawn, and the small rounds. */
  readonly edges: Float32Array;
  readonly rounds: Float32Array;
  /** The corners with the middle of each small round after them, and triangles in which each such round is its middle. */
  readonly vertices: Float32Array;
  readonly faces: Uint32Array;
}

export function afar(shape: Shape): Afar {
  const [edges, rounds]: [number[], number[]] = [[], []];
  const { vertices: v } = shape;
  const small: Uint32Array[] = [];
  for (const line of shape.lines) {
    const first = line[0]! * 3;
    const away = (i: number): number => Math.hypot(v[3 * i]! - v[first]!, v[3 * i + 1]! - v[first + 1]!, v[3 * i + 2]! - v[first + 2]!);
    const round = line.length > 4 && line.every((i) => away(i) < SMALL_MM);
    if (round) small.push(line);
    for (let k = 0; k + 1 < line.length; k++)
      for (const i of [line[k]!, line[k + 1]!]) (round ? rounds : edges).push(v[3 * i]!, v[3 * i + 1]!, v[3 * i + 2]!);
  }
  return { edges: new Float32Array(edges), rounds: new Float32Array(rounds), ...closed(shape, small) };
}

/** Every small round drawn together into its middle. What lies within it, and the walls between two of them, has no extent then. */
function closed(shape: Shape, small: readonly Uint32Array[]): { vertices: Float32Array; faces: Uint32Array } {
  const { vertices: v, faces } = shape;
  const count = v.length / 3;
  const parent = Int32Array.from({ length: count }, (_, n) => n);
  const root = (n: number): number => {
    while (parent[n] !== n) n = parent[n] = parent[parent[n]!]!;
    return n;
  };
  const member = new Uint8Array(count);
  for (const line of small)
    for (const n of line) {
      member[n] = 1;
      parent[root(n)] = root(line[0]!);
    }
  const sums = new Map<number, [number, number, number, number]>();
  for (let n = 0; n < count; n++) {
    if (!member[n]) continue;
    const sum = sums.get(root(n)) ?? [0, 0, 0, 0];
    sums.set(root(n), [sum[0] + v[3 * n]!, sum[1] + v[3 * n + 1]!, sum[2] + v[3 * n + 2]!, sum[3] + 1]);
  }
  const vertices = new Float32Array(v.length + sums.size * 3);
  vertices.set(v);
  const middle = new Map<number, number>();
  for (const [key, [x, y, z, n]] of sums) {
    const at = count + middle.size;
    middle.set(key, at);
    vertices.set([x / n, y / n, z / n], at * 3);
  }
  const now = (n: number): number => (member[n] ? middle.get(root(n))! : n);
  const kept: number[] = [];
  for (let f = 0; f < faces.length; f += 3) {
    const [a, b, c] = [now(faces[f]!), now(faces[f + 1]!), now(faces[f + 2]!)];
    if (a !== b && b !== c && c !== a) kept.push(a, b, c);
  }
  return { vertices, faces: new Uint32Array(kept) };
}
