// The piece as the page works with it: shapes in their bench frame, bodies placed in the piece.
import { bytes } from "./source";
import type { Hardware, Part, Piece, Report, Stock, Vec } from "./report";

const PER_MM = 1000;

export interface Shape {
  readonly vertices: Float32Array;
  readonly faces: Uint32Array;
  /** Polylines as indexes of vertices. */
  readonly lines: readonly Uint32Array[];
  readonly low: Vec;
  readonly high: Vec;
}

export interface Body {
  readonly index: number;
  readonly name: string;
  readonly shape: number;
  readonly part: Part | null;
  readonly hardware: Hardware | null;
  /** Rows of three of the rotation, then the origin: piece = rows . bench + origin. */
  readonly rows: readonly [Vec, Vec, Vec];
  readonly origin: Vec;
  readonly low: Vec;
  readonly high: Vec;
}

export interface Model {
  readonly report: Report;
  readonly drawings: Piece["drawings"];
  readonly shapes: readonly Shape[];
  readonly bodies: readonly Body[];
  readonly byName: ReadonlyMap<string, Body>;
  readonly stocks: ReadonlyMap<string, Stock>;
  readonly low: Vec;
  readonly high: Vec;
  /** The diagonal of the piece, mm. */
  readonly reach: number;
}

/** Before there is a piece. */
export const NOTHING: Piece = {
  viewer: 1,
  report: {
    piece: "",
    units: "mm",
    dry_fit: "passed",
    counts: {},
    masses: { known_kg: 0, parts_without_density: 0 },
    box: { low: [0, 0, 0], high: [0, 0, 0] },
    stock: [],
    parts: [],
    hardware: [],
    joints: [],
    glue_up: null,
    first_fit: null,
    findings: [],
    overlaps: [],
    reasons: [],
  },
  bodies: [],
  meshes: [],
  drawings: {},
};

export function modelOf(piece: Piece): Model {
  const shapes = piece.meshes.map(shapeOf);
  const { parts, hardware } = piece.report;
  const bodies = piece.bodies.map((entry, index): Body => {
    const part = index < parts.length ? parts[index]! : null;
    const thing = part ? null : hardware[index - parts.length]!;
    const p = (part ?? thing!).placement;
    const rows = [0, 1, 2].map((k) => [p[k]![0]!, p[k]![1]!, p[k]![2]!] as Vec) as [Vec, Vec, Vec];
    const origin: Vec = [p[0]![3]!, p[1]![3]!, p[2]![3]!];
    return { index, name: entry.name, shape: entry.mesh, part, hardware: thing, rows, origin, ...boxIn(rows, origin, shapes[entry.mesh]!) };
  });
  const all = bodies.length ? bodies : [{ low: [0, 0, 0] as Vec, high: [1, 1, 1] as Vec }];
  const low = [0, 1, 2].map((k) => Math.min(...all.map((b) => b.low[k]!))) as unknown as Vec;
  const high = [0, 1, 2].map((k) => Math.max(...all.map((b) => b.high[k]!))) as unknown as Vec;
  return {
    report: piece.report,
    drawings: piece.drawings,
    shapes,
    bodies,
    byName: new Map(bodies.map((body) => [body.name, body])),
    stocks: new Map(piece.report.stock.map((stock) => [stock.name, stock])),
    low,
    high,
    reach: Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]) || 1,
  };
}

export const middle = (box: { readonly low: Vec; readonly high: Vec }): Vec => [
  (box.low[0] + box.high[0]) / 2,
  (box.low[1] + box.high[1]) / 2,
  (box.low[2] + box.high[2]) / 2,
];

/** The least box about some boxes, each moved by its offset. */
export function boxOf(bodies: readonly Body[], offset: (body: Body) => Vec): { low: Vec; high: Vec } | null {
  if (!bodies.length) return null;
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const body of bodies) {
    const by = offset(body);
    for (let k = 0; k < 3; k++) {
      low[k] = Math.min(low[k]!, body.low[k]! + by[k]!);
      high[k] = Math.max(high[k]!, body.high[k]! + by[k]!);
    }
  }
  return { low: low as unknown as Vec, high: high as unknown as Vec };
}

/** A point of the bench frame in the piece. */
export function placed(body: Body, x: number, y: number, z: number): Vec {
  const [r, o] = [body.rows, body.origin];
  return [
    r[0][0] * x + r[0][1] * y + r[0][2] * z + o[0],
    r[1][0] * x + r[1][1] * y + r[1][2] * z + o[1],
    r[2][0] * x + r[2][1] * y + r[2][2] * z + o[2],
  ];
}

function shapeOf(mesh: Piece["meshes"][number]): Shape {
  const whole = ints(mesh.vertices);
  const vertices = new Float32Array(whole.length);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let n = 0; n < whole.length; n++) {
    const value = whole[n]! / PER_MM;
    vertices[n] = value;
    low[n % 3] = Math.min(low[n % 3]!, value);
    high[n % 3] = Math.max(high[n % 3]!, value);
  }
  const lines: Uint32Array[] = [];
  const flat = ints(mesh.lines);
  for (let n = 0, from = 0; n < flat.length; n++) {
    if (flat[n]! >= 0) continue;
    lines.push(new Uint32Array(flat.subarray(from, n)));
    from = n + 1;
  }
  return { vertices, faces: new Uint32Array(ints(mesh.faces).buffer), lines, low: low as unknown as Vec, high: high as unknown as Vec };
}

const ints = (text: string): Int32Array<ArrayBuffer> => new Int32Array(bytes(text).buffer);

function boxIn(rows: readonly Vec[], origin: Vec, shape: Shape): { low: Vec; high: Vec } {
  const low: number[] = [];
  const high: number[] = [];
  for (let k = 0; k < 3; k++) {
    low[k] = high[k] = origin[k]!;
    for (let m = 0; m < 3; m++) {
      const ends = [rows[k]![m]! * shape.low[m]!, rows[k]![m]! * shape.high[m]!];
      low[k] = low[k]! + Math.min(...ends);
      high[k] = high[k]! + Math.max(...ends);
    }
  }
  return { low: low as unknown as Vec, high: high as unknown as Vec };
}
