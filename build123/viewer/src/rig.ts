// Where the eye is. Turning is about the target; x to the right, y to the back, z up, mm.
import { OrthographicCamera, PerspectiveCamera, Matrix4, Vector3 } from "three";
import type { Vec } from "./report";
import { add, dot, mix, scale } from "./vec";

export interface Sight {
  /** Degrees: 0 looks at the front, 90 at the right side. */
  readonly yaw: number;
  /** Degrees: 90 looks down on the top. */
  readonly pitch: number;
  /** What the window's height shows at the target, mm. */
  readonly span: number;
  readonly target: Vec;
  readonly parallel: boolean;
}

const FIELD_DEG = 28;
const MARGIN = 1.12;
const RAD = Math.PI / 180;

export interface Axes {
  readonly right: Vec;
  readonly up: Vec;
  readonly back: Vec;
}

/** The axes of the picture; well defined when looking straight down, too. */
export function axes(sight: Sight): Axes {
  const [sy, cy, sp, cp] = [Math.sin(sight.yaw * RAD), Math.cos(sight.yaw * RAD), Math.sin(sight.pitch * RAD), Math.cos(sight.pitch * RAD)];
  return { right: [cy, sy, 0], up: [-sy * sp, cy * sp, cp], back: [sy * cp, -cy * cp, sp] };
}

export class Rig {
  private readonly perspective = new PerspectiveCamera();
  private readonly orthographic = new OrthographicCamera();
  sight: Sight = { yaw: 28, pitch: 22, span: 1000, target: [0, 0, 0], parallel: false };
  width = 1;
  height = 1;

  get camera(): PerspectiveCamera | OrthographicCamera {
    return this.sight.parallel ? this.orthographic : this.perspective;
  }

  /** Distance of the eye, mm. A parallel view stands far enough back to have everything before it. */
  distance(reach: number): number {
    return this.sight.parallel ? reach * 4 + this.sight.span : this.sight.span / 2 / Math.tan((FIELD_DEG / 2) * RAD);
  }

  place(reach: number): void {
    const { right, up, back } = axes(this.sight);
    const distance = this.distance(reach);
    const camera = this.camera;
    const eye = add(this.sight.target, scale(back, distance));
    camera.matrixAutoUpdate = false;
    camera.matrix.copy(new Matrix4().makeBasis(new Vector3(...right), new Vector3(...up), new Vector3(...back)).setPosition(...eye));
    camera.matrixWorldNeedsUpdate = true;
    camera.far = distance + reach * 6;
    camera.near = this.sight.parallel ? 1 : Math.max(distance - reach * 6, distance / 40);
    const aspect = this.width / this.height;
    if (camera instanceof PerspectiveCamera) {
      camera.fov = FIELD_DEG;
      camera.aspect = aspect;
    } else {
      camera.top = this.sight.span / 2;
      camera.bottom = -camera.top;
      camera.right = camera.top * aspect;
      camera.left = -camera.right;
    }
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld(true);
  }

  /** Millimetres a pixel at the target. */
  get mmPerPixel(): number {
    return this.sight.span / this.height;
  }

  /** A ray through a pixel of the window. */
  ray(x: number, y: number): { origin: Vec; direction: Vec } {
    const ndc: [number, number] = [(x / this.width) * 2 - 1, 1 - (y / this.height) * 2];
    const near = new Vector3(...ndc, -1).unproject(this.camera);
    const far = new Vector3(...ndc, 1).unproject(this.camera);
    const direction = far.sub(near).normalize();
    return { origin: [near.x, near.y, near.z], direction: [direction.x, direction.y, direction.z] };
  }

  /** Pixel of a point; null behind the eye. */
  pixel(p: Vec): { x: number; y: number; depth: number } | null {
    const seen = new Vector3(...p).project(this.camera);
    if (seen.z > 1 || seen.z < -1) return null;
    return { x: ((seen.x + 1) / 2) * this.width, y: ((1 - seen.y) / 2) * this.height, depth: seen.z };
  }

  /** The span that just shows a box about its middle, with a margin. */
  spanFor(box: { low: Vec; high: Vec }, sight: Sight): number {
    const { right, up, back } = axes(sight);
    const tangent = sight.parallel ? 0 : 2 * Math.tan((FIELD_DEG / 2) * RAD);
    const aspect = this.width / this.height;
    let span = 1;
    for (let n = 0; n < 8; n++) {
      const p = [0, 1, 2].map((k) => ((n >> k) & 1 ? 0.5 : -0.5) * (box.high[k]! - box.low[k]!)) as unknown as Vec;
      span = Math.max(span, 2 * Math.max(Math.abs(dot(p, up)), Math.abs(dot(p, right)) / aspect) + dot(p, back) * tangent);
    }
    return span * MARGIN;
  }
}

/** Between two sights, the short way round. */
export function between(a: Sight, b: Sight, t: number): Sight {
  const turn = ((((b.yaw - a.yaw) % 360) + 540) % 360) - 180;
  return {
    yaw: a.yaw + turn * t,
    pitch: a.pitch + (b.pitch - a.pitch) * t,
    span: a.span * (b.span / a.span) ** t,
    target: mix(a.target, b.target, t),
    parallel: b.parallel,
  };
}
