// How far each body moves when the piece is pulled apart: the order of assembly backwards, each step out the way it came in.
import type { Body, Model } from "./model";
import type { Joint, Vec } from "./report";
import { add, dot, scale, sub } from "./vec";

/** The clear gap that a step opens, as a share of the piece's diagonal, and against how far it must travel to be free. */
const GAP_SHARE = 0.13;
const TRAVELS = 1.5;
/** How much longer than its diagonal a piece may get in any direction: long rows are pulled apart less. */
const LONGER = 1.2;

export type Offsets = ReadonlyMap<string, Vec>;
const STILL: Vec = [0, 0, 0];

/** Offsets (mm) of a piece pulled fully apart. What has no step leaves the way its joints open. */
export function pulledApart(model: Model): Offsets {
  const at = new Map<string, Vec>();
  const gap = GAP_SHARE * model.reach;
  const of = (name: string): Vec => at.get(name) ?? STILL;
  const stepped = new Set<string>();
  for (const step of model.report.glue_up?.steps ?? []) {
    for (const name of step.bodies) stepped.add(name);
    if (!step.direction) continue;
    const out = scale(step.direction, -1);
    // Beyond whatever it lies on, wherever that has gone itself, and sideways in the middle of it.
    const beyond = step.onto.length ? Math.max(...step.onto.map((name) => dot(of(name), out))) : 0;
    const apart = sub(mean(step.onto.map(of)), mean(step.bodies.map(of)));
    const aside = sub(apart, scale(out, dot(apart, out)));
    const by = add(aside, scale(out, beyond + Math.max(gap, step.travel_mm * TRAVELS)));
    for (const name of step.bodies) at.set(name, add(of(name), by));
  }
  for (const joint of model.report.joints) {
    if (stepped.has(joint.member) || !joint.opens) continue;
    at.set(joint.member, add(of(joint.receiver), scale(joint.opens, gap)));
    stepped.add(joint.member);
  }
  between(model, at);
  return centred(model, at);
}

/** Offsets of one joint opened: the member leaves, what is bought stays halfway. */
export function opened(model: Model, joint: Joint): Offsets {
  const pair = [joint.member, joint.receiver].map((name) => model.byName.get(name)).filter((body): body is Body => !!body);
  const reach = Math.max(...pair.map((body) => Math.min(...[0, 1, 2].map((k) => body.high[k]! - body.low[k]!))), 20);
  const at = new Map<string, Vec>();
  if (joint.opens) at.set(joint.member, scale(joint.opens, reach * 4));
  between(model, at);
  return at;
}

/** A step about to be made: its bodies stand back from where they go. */
export function stepBack(model: Model, number: number): Offsets {
  const step = model.report.glue_up?.steps.find((one) => one.number === number);
  if (!step?.direction) return new Map();
  const by = scale(step.direction, -Math.max(GAP_SHARE * model.reach, step.travel_mm * TRAVELS));
  return new Map(step.bodies.map((name) => [name, by]));
}

/** What is bought lies halfway between the two parts of its joint. */
function between(model: Model, at: Map<string, Vec>): void {
  const joints = new Map(model.report.joints.map((joint) => [joint.id, joint]));
  for (const thing of model.report.hardware) {
    const joint = joints.get(thing.joint);
    if (!joint) continue;
    at.set(thing.name, scale(add(at.get(joint.member) ?? STILL, at.get(joint.receiver) ?? STILL), 0.5));
  }
}

const mean = (all: readonly Vec[]): Vec => scale(all.reduce(add, STILL), 1 / Math.max(all.length, 1));

function centred(model: Model, at: Map<string, Vec>): Offsets {
  const names = model.report.parts.map((part) => part.name);
  if (!names.length) return at;
  const all = names.map((name) => at.get(name) ?? STILL);
  const middle = mean(all);
  const shares = [0, 1, 2].map((k) => {
    const far = Math.max(...all.map((by) => by[k]!)) - Math.min(...all.map((by) => by[k]!));
    return Math.min(1, (LONGER * model.reach) / Math.max(far, 1));
  });
  const less = (by: Vec): Vec => [by[0] * shares[0]!, by[1] * shares[1]!, by[2] * shares[2]!];
  return new Map(model.bodies.map((body) => [body.name, less(sub(at.get(body.name) ?? STILL, middle))]));
}
