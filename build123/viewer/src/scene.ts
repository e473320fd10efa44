// The picture: one draw call for the faces and one for the edges of each distinct shape, all bodies placed by one table.
import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  FloatType,
  GLSL3,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  Mesh,
  NearestFilter,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  Vector2,
  Vector3,
  Vector4,
  WebGLRenderer,
} from "three";
import type { IUniform } from "three";
import { afar } from "./afar";
import type { Body, Model } from "./model";
import type { Vec } from "./report";
import type { Rig } from "./rig";
import { type Cap, type Plane, capOf, inPlane } from "./section";
import * as shaders from "./shaders";
import { Look, TEXELS } from "./shaders";
import { flat, own, shared, strokes } from "./strokes";
import { BOUGHT, lifted, stockTones } from "./tones";
import { scale, sub, unit } from "./vec";

export interface Palette {
  readonly ground: string;
  readonly ink: string;
  readonly faint: string;
  readonly accent: string;
  readonly tint: string;
  readonly bad: string;
  readonly lift: number;
}

export interface Extra {
  readonly segments: readonly (readonly [Vec, Vec])[];
  readonly colour: "accent" | "bad";
  readonly width: number;
}

const LINE_PX = 1.6;
const CHOSEN_PX = 3;
const CUT_PX = 2.8;
const HATCH_PX = 7;
/** Small rounds are drawn where a pixel is less than so many mm, and from any distance while all that is drawn has few triangles. */
const FINE_SEEN = 2;
const LIGHT = 100_000;
const STILL: Vec = [0, 0, 0];
/** Plies a millimetre-thick sheet shows: one for each of this many mm, odd. */
const PLY_MM = 1.5;

export class Picture {
  /** None where the browser has no WebGL 2: the paper works without a picture. */
  private readonly renderer: WebGLRenderer | null;
  private readonly scene = new Scene();
  private table: DataTexture | null = null;
  private model: Model | null = null;
  private looks: readonly Look[] = [];
  private offsets: (body: Body) => Vec = () => STILL;
  private plane: Plane | null = null;
  private temporary: Mesh[] = [];
  private extras: Mesh[] = [];
  private glazed: Mesh[] = [];
  /** What is drawn from near only, and from afar in its stead. */
  private near: Mesh[] = [];
  private far: Mesh[] = [];
  private ratio = 1;
  /** Triangles of all bodies that are drawn. */
  private weight = 0;
  caps: Cap[] = [];
  private readonly common: Record<string, IUniform> = {
    table: { value: null },
    plane: { value: new Vector4() },
    cutting: { value: 0 },
    accent: { value: new Vector3() },
    tint: { value: new Vector3() },
    lift: { value: 0 },
    ink: { value: new Vector3() },
    faint: { value: new Vector3() },
    window: { value: new Vector2(1, 1) },
    bias: { value: 1 },
    wide: { value: 1 },
    strong: { value: 1 },
  };
  private readonly gap: IUniform = { value: 5 };
  private readonly cutWide: IUniform = { value: 1 };
  private readonly onBad: IUniform = { value: new Vector3() };
  private readonly bad: IUniform = { value: new Vector3() };
  private readonly faces = this.material(
    shaders.FACE_VERTEX,
    shaders.FACE_FRAGMENT,
    { through: { value: 0 } },
    { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1 },
  );
  private readonly glass = this.material(
    shaders.FACE_VERTEX,
    shaders.FACE_FRAGMENT,
    { through: { value: 1 } },
    { transparent: true, depthWrite: false },
  );
  private readonly edges = this.material(shaders.LINE_VERTEX, shaders.LINE_FRAGMENT, {});
  private readonly cut = this.material(shaders.HATCH_VERTEX, shaders.HATCH_FRAGMENT, this.hatch(0.6));
  private readonly shared = this.material(
    shaders.HATCH_VERTEX,
    shaders.HATCH_FRAGMENT,
    { ...this.hatch(0.9), cutting: { value: 0 }, ink: this.onBad },
    { depthTest: false, transparent: true },
  );

  constructor(
    readonly canvas: HTMLCanvasElement,
    private readonly rig: Rig,
  ) {
    try {
      this.renderer = new WebGLRenderer({ canvas, antialias: true });
    } catch {
      this.renderer = null;
    }
  }

  get works(): boolean {
    return this.renderer !== null;
  }

  /** Draw calls of the last picture. */
  get calls(): number {
    return this.renderer?.info.render.calls ?? 0;
  }

  show(model: Model): void {
    for (const child of [...this.scene.children]) this.remove(child as Mesh);
    this.temporary = [];
    this.extras = [];
    this.glazed = [];
    this.near = [];
    this.far = [];
    this.model = model;
    this.table?.dispose();
    const height = Math.max(model.bodies.length, 1);
    this.table = new DataTexture(new Float32Array(height * TEXELS * 4), TEXELS, height, RGBAFormat, FloatType);
    this.table.minFilter = this.table.magFilter = NearestFilter;
    this.common.table!.value = this.table;
    const of = new Map<number, number[]>();
    for (const body of model.bodies) of.set(body.shape, [...(of.get(body.shape) ?? []), body.index]);
    for (const [n, members] of of) {
      const shape = model.shapes[n]!;
      const which = new InstancedBufferAttribute(new Float32Array(members), 1);
      const { edges, rounds, vertices, faces } = afar(shape);
      const corners = new BufferAttribute(vertices, 3);
      const solid = shared().setAttribute("position", corners).setIndex(new BufferAttribute(shape.faces, 1)) as InstancedBufferGeometry;
      const far = shared().setAttribute("position", corners).setIndex(new BufferAttribute(faces, 1)) as InstancedBufferGeometry;
      const lines = strokes(edges, shared());
      const mouths = strokes(rounds, shared());
      for (const [geometry, material, order, group] of [
        [solid, this.faces, 0, rounds.length ? this.near : null],
        [far, this.faces, 0, this.far],
        [lines, this.edges, 1, null],
        [mouths, this.edges, 1, this.near],
        [solid, this.glass, 4, this.glazed],
      ] as const) {
        // A shape without small rounds is the same from afar.
        if ((geometry === far || geometry === mouths) && !rounds.length) continue;
        geometry.setAttribute("body", which);
        geometry.instanceCount = members.length;
        const mesh = this.add(geometry, material, order);
        group?.push(mesh);
      }
    }
    this.write();
  }

  set(looks: readonly Look[], offsets: (body: Body) => Vec, plane: Plane | null): void {
    this.looks = looks;
    this.offsets = offsets;
    this.plane = plane;
    const triangles = (body: Body): number => (looks[body.index] ? (this.model?.shapes[body.shape]?.faces.length ?? 0) / 3 : 0);
    this.weight = this.model?.bodies.reduce((sum, body) => sum + triangles(body), 0) ?? 0;
    this.write();
  }

  paint(palette: Palette): void {
    const c = this.common;
    this.renderer?.setClearColor(palette.ground);
    (c.ink!.value as Vector3).set(...rgb(palette.ink));
    (c.faint!.value as Vector3).set(...rgb(palette.faint));
    (c.accent!.value as Vector3).set(...rgb(palette.accent));
    (c.tint!.value as Vector3).set(...rgb(palette.tint));
    (this.onBad.value as Vector3).set(...rgb(palette.ground));
    (this.bad.value as Vector3).set(...rgb(palette.bad));
    c.lift!.value = palette.lift;
    this.write();
  }

  size(width: number, height: number, ratio: number): void {
    this.ratio = ratio;
    this.renderer?.setPixelRatio(ratio);
    this.renderer?.setSize(width, height, false);
    (this.common.window!.value as Vector2).set(width * ratio, height * ratio);
    this.rig.width = width;
    this.rig.height = height;
  }

  draw(): void {
    if (!this.model) return;
    this.rig.place(this.model.reach);
    this.common.bias!.value = Math.min(this.rig.mmPerPixel, 3);
    this.gap.value = Math.max(this.rig.mmPerPixel * HATCH_PX, 1.5);
    const near = this.rig.mmPerPixel < FINE_SEEN || this.weight < LIGHT;
    for (const mesh of this.near) mesh.visible = near;
    for (const mesh of this.far) mesh.visible = !near;
    // From afar strokes get finer, or they would cover the wood between them.
    const thin = Math.min(Math.max((FINE_SEEN / this.rig.mmPerPixel) ** 0.5, 0.5), 1);
    this.cutWide.value = CUT_PX * thin * this.ratio;
    this.common.wide!.value = LINE_PX * thin * this.ratio;
    this.common.strong!.value = CHOSEN_PX * thin * this.ratio;
    this.renderer?.render(this.scene, this.rig.camera);
  }

  /** Wood that two bodies both claim, seen through everything. */
  overlaps(meshes: readonly { readonly vertices: readonly Vec[]; readonly faces: readonly Vec[] }[], extras: readonly Extra[]): void {
    for (const mesh of this.extras) this.remove(mesh);
    this.extras = [];
    for (const { vertices, faces } of meshes) {
      const corners = faces.flatMap((face) => face.map((k) => vertices[k]!));
      const tint = this.bad.value as Vector3;
      this.extras.push(
        this.add(
          tinted(
            corners,
            corners.map(() => [tint.x, tint.y, tint.z]),
            corners.map(() => 1),
          ),
          this.shared,
          5,
        ),
      );
    }
    for (const extra of extras) {
      const ink = extra.colour === "bad" ? this.bad : this.common.accent!;
      const material = this.material(
        shaders.FREE_VERTEX,
        shaders.FREE_FRAGMENT,
        { ink, wide: { value: extra.width * this.ratio } },
        { depthTest: false, transparent: true },
      );
      this.extras.push(this.add(strokes(flat(extra.segments), own()), material, 6));
    }
  }

  private write(): void {
    const { model, table } = this;
    if (!model || !table) return;
    const data = table.image.data as Float32Array;
    const tones = stockTones(model);
    for (const body of model.bodies) {
      const at = body.index * TEXELS * 4;
      const by = this.offsets(body);
      body.rows.forEach((row, k) => data.set([...row, body.origin[k]! + by[k]!], at + 4 * k));
      data.set([...(tones.get(body.part?.stock ?? "") ?? BOUGHT), this.looks[body.index] ?? Look.plain], at + 12);
      const stock = body.part ? model.stocks.get(body.part.stock) : undefined;
      const kind = !stock || stock.grain === "none" ? 0 : stock.kind === "sheet" ? 2 : 1;
      const plies = stock ? 2 * Math.round(stock.thickness_mm / PLY_MM / 2) + 1 : 1;
      data.set([kind, body.part?.thickness_mm ?? 1, (body.index * 0.37) % 1, plies], at + 16);
    }
    table.needsUpdate = true;
    const glass = this.looks.includes(Look.glass);
    for (const mesh of this.glazed) mesh.visible = glass;
    this.section();
  }

  private section(): void {
    for (const mesh of this.temporary) this.remove(mesh);
    this.temporary = [];
    this.caps = [];
    const { model, plane } = this;
    this.common.cutting!.value = plane ? 1 : 0;
    if (!model || !plane) return;
    (this.common.plane!.value as Vector4).set(...plane.normal, plane.at);
    const tones = stockTones(model);
    const [corners, colours, leans]: [Vec[], Vec[], number[]] = [[], [], []];
    const outline: [Vec, Vec][] = [];
    for (const body of model.bodies) {
      const look = this.looks[body.index] ?? Look.plain;
      if (look === Look.gone || look === Look.lines) continue;
      const cap = capOf(body, model.shapes[body.shape]!, this.offsets(body), plane);
      if (!cap) continue;
      this.caps.push(cap);
      const tone = tones.get(body.part?.stock ?? "") ?? BOUGHT;
      for (const p of cap.triangles) {
        corners.push(p);
        colours.push(scale(tone as Vec, 1));
        leans.push(body.index % 2 ? 1 : -1);
      }
      for (const loop of cap.loops) loop.forEach((p, k) => outline.push([p, loop[(k + 1) % loop.length]!]));
    }
    if (!corners.length) return;
    const { u, v } = inPlane(plane.normal);
    (this.cut.uniforms.across!.value as Vector3).set(...u);
    (this.cut.uniforms.along!.value as Vector3).set(...v);
    this.temporary.push(
      this.add(
        tinted(
          corners,
          colours.map((c) => lifted(c, 0.6)),
          leans,
        ),
        this.cut,
        2,
      ),
    );
    const line = this.material(shaders.FREE_VERTEX, shaders.FREE_FRAGMENT, { ink: this.common.ink!, wide: this.cutWide });
    this.temporary.push(this.add(strokes(flat(outline), own()), line, 3));
  }

  private hatch(strength: number): Record<string, IUniform> {
    return {
      across: { value: new Vector3(1, 0, 0) },
      along: { value: new Vector3(0, 0, 1) },
      gap: this.gap,
      strength: { value: strength },
    };
  }

  private material(
    vertexShader: string,
    fragmentShader: string,
    uniforms: Record<string, IUniform>,
    more: {
      depthTest?: boolean;
      polygonOffset?: boolean;
      polygonOffsetFactor?: number;
      polygonOffsetUnits?: number;
      transparent?: boolean;
      depthWrite?: boolean;
    } = {},
  ): ShaderMaterial {
    return new ShaderMaterial({ glslVersion: GLSL3, vertexShader, fragmentShader, uniforms: { ...this.common, ...uniforms }, ...more });
  }

  private add(geometry: BufferGeometry, material: ShaderMaterial, order: number): Mesh {
    const mesh = new Mesh(geometry, material);
    mesh.frustumCulled = false;
    mesh.renderOrder = order;
    this.scene.add(mesh);
    return mesh;
  }

  private remove(mesh: Mesh): void {
    this.scene.remove(mesh);
    mesh.geometry.dispose();
  }
}

function tinted(corners: readonly Vec[], colours: readonly Vec[], leans: readonly number[]): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(new Float32Array(corners.flat()), 3));
  geometry.setAttribute("tint", new BufferAttribute(new Float32Array(colours.flat()), 3));
  geometry.setAttribute("lean", new BufferAttribute(new Float32Array(leans), 1));
  return geometry;
}

/** "#rrggbb" as three numbers from 0 to 1. */
export function rgb(hex: string): [number, number, number] {
  const n = parseInt(hex.trim().slice(1), 16);
  return [(n >> 16) / 255, ((n >> 8) & 255) / 255, (n & 255) / 255];
}

/** A small cross in space, for a place that a finding points at. */
export function cross3(at: Vec, size: number): [Vec, Vec][] {
  return [0, 1, 2].map((k): [Vec, Vec] => {
    const way: Vec = unit([k === 0 ? 1 : 0, k === 1 ? 1 : 0, k === 2 ? 1 : 0]);
    return [sub(at, scale(way, size)), sub(at, scale(way, -size))];
  });
}
