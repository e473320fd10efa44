// From where to look at what is in focus.
import { opened } from "./apart";
import type { Arrangement } from "./arrangement";
import { type Body, boxOf, middle } from "./model";
import type { Joint, Vec } from "./report";
import { axes, type Rig, type Sight } from "./rig";
import { clamp } from "./state";
import { add, dot, scale, sub } from "./vec";

/** A gap is seen as one of so many in the window's height, which shows no less than this. */
const GAPS = 50;
const LEAST_MM = 80;
const DEGREES = 180 / Math.PI;
const STILL: Vec = [0, 0, 0];

/** All that is drawn, or some bodies of it, in the window. */
export function fitted(rig: Rig, arranged: Arrangement, sight: Sight, names?: readonly string[]): Sight {
  const box = arranged.room(names);
  return { ...sight, target: middle(box), span: rig.spanFor(box, sight) };
}

export function sightFor(rig: Rig, arranged: Arrangement): Sight {
  const { focus, sight } = arranged.state;
  if (arranged.joint) return sightOnJoint(rig, arranged, arranged.joint);
  return focus.kind === "finding" ? sightOnFinding(rig, arranged, focus.index) : fitted(rig, arranged, sight);
}

/** The place of a finding in the middle, near enough to see its overlap, not nearer than its parts fill the window. */
function sightOnFinding(rig: Rig, arranged: Arrangement, index: number): Sight {
  const { model, state } = arranged;
  const finding = model.report.findings[index]!;
  const bodies = finding.parts.map((name) => model.byName.get(name)).filter((body): body is Body => !!body);
  const box = boxOf(bodies, () => STILL);
  const at = arranged.place(index);
  if (!at || !box) return fitted(rig, arranged, state.sight);
  const lap = model.report.overlaps.find((one) => one.name === finding.overlap)?.mesh;
  const gap = finding.numbers.gap_mm;
  const close = lap ? rig.spanFor(about(lap.vertices), state.sight) * 1.8 : 0;
  const span = gap ? Math.max(gap * GAPS, LEAST_MM) : Math.max(close, model.reach * 0.3, 150);
  return { ...state.sight, target: at, span: Math.min(rig.spanFor(box, state.sight), span) };
}

/** Where the fits of a joint lie, with its gap open, from the side to which it opens. */
function sightOnJoint(rig: Rig, arranged: Arrangement, joint: Joint): Sight {
  const near = joint.fits.map((fit) => fit.near);
  const sight = facing(arranged.state.sight, joint.opens ?? STILL);
  if (!near.length || !joint.opens) return fitted(rig, arranged, sight);
  const apart = scale(opened(arranged.model, joint).get(joint.member) ?? STILL, arranged.state.open);
  const box = about(near.flatMap((one) => [one.low, one.high, add(one.low, apart), add(one.high, apart)]));
  const reach = Math.hypot(...sub(box.high, box.low));
  return { ...sight, target: middle(box), span: Math.max(rig.spanFor(box, sight), reach * 0.9) * 1.15 };
}

/** A sight near this one from which the direction comes towards the eye, at a slant: straight on, one part would hide the other. */
function facing(sight: Sight, direction: Vec): Sight {
  const slant = (one: Sight): boolean => {
    const towards = dot(axes(one).back, direction);
    return towards >= 0.1 && towards <= 0.9;
  };
  if (slant(sight)) return sight;
  const [x, y, z] = direction.map(Math.abs) as unknown as Vec;
  if (z >= Math.max(x, y)) {
    const flat = Math.abs(Math.sin((2 * sight.yaw) / DEGREES)) < 0.3;
    const pitch = Math.sign(direction[2]) * clamp(Math.abs(sight.pitch), 25, 50);
    return { ...sight, yaw: sight.yaw + (flat ? 28 : 0), pitch };
  }
  const yaw = x > y ? -sight.yaw : 180 - sight.yaw;
  const turned = { ...sight, yaw: ((yaw % 360) + 360) % 360, pitch: clamp(sight.pitch, -40, 40) };
  if (slant(turned)) return turned;
  const straight = (Math.atan2(direction[0], -direction[1]) * 180) / Math.PI;
  const side = Math.sin((sight.yaw - straight) / DEGREES) < 0 ? -1 : 1;
  return { ...sight, yaw: straight + side * 55, pitch: Math.abs(sight.pitch) < 15 ? 15 : turned.pitch };
}

function about(points: readonly Vec[]): { low: Vec; high: Vec } {
  const least = (of: (...n: number[]) => number): Vec => [0, 1, 2].map((k) => of(...points.map((p) => p[k]!))) as unknown as Vec;
  return { low: least(Math.min), high: least(Math.max) };
}
