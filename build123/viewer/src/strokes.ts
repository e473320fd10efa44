// Strokes as quads: what a line needs to be wider than one pixel.
import { BufferAttribute, BufferGeometry, InstancedBufferGeometry } from "three";
import type { Vec } from "./report";

/** From six numbers a segment (both ends) to a geometry with `from`, `to` and `corner`. */
export function strokes<G extends BufferGeometry>(segments: Float32Array, into: G): G {
  const count = segments.length / 6;
  const from = new Float32Array(count * 12);
  const to = new Float32Array(count * 12);
  const corner = new Int8Array(count * 8);
  const index = new Uint32Array(count * 6);
  for (let n = 0; n < count; n++) {
    for (let k = 0; k < 4; k++) {
      from.set(segments.subarray(n * 6, n * 6 + 3), n * 12 + k * 3);
      to.set(segments.subarray(n * 6 + 3, n * 6 + 6), n * 12 + k * 3);
    }
    corner.set([0, -1, 0, 1, 1, 1, 1, -1], n * 8);
    index.set(
      [0, 2, 1, 0, 3, 2].map((k) => n * 4 + k),
      n * 6,
    );
  }
  into.setAttribute("from", new BufferAttribute(from, 3));
  into.setAttribute("to", new BufferAttribute(to, 3));
  into.setAttribute("corner", new BufferAttribute(corner, 2));
  into.setIndex(new BufferAttribute(index, 1));
  return into;
}

export const shared = (): InstancedBufferGeometry => new InstancedBufferGeometry();
export const own = (): BufferGeometry => new BufferGeometry();

export function flat(segments: readonly (readonly [Vec, Vec])[]): Float32Array {
  const out = new Float32Array(segments.length * 6);
  segments.forEach(([a, b], n) => out.set([...a, ...b], n * 6));
  return out;
}
