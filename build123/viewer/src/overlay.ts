// What is drawn over the bodies: words at their places, the wood of an overlap, the strokes of a gap, what a measure took.
import type { Arrangement } from "./arrangement";
import type { Mark } from "./marks";
import type { Measure } from "./measure";
import { type Body, middle } from "./model";
import type { Taken } from "./pick";
import type { Finding, Overlap, Vec } from "./report";
import type { Rig } from "./rig";
import { cross3, type Extra } from "./scene";
import { Look } from "./shaders";
import { measured } from "./units";
import { add, scale, sub } from "./vec";
import { inAWord, SIGNS } from "./words";

export interface Overlay {
  readonly marks: readonly Mark[];
  readonly extras: readonly Extra[];
  readonly meshes: readonly NonNullable<Overlap["mesh"]>[];
}

/** A cross at a place without a gap, and how far the strokes beside a gap reach: shares of the piece's diagonal. */
const CROSS_SHARE = 0.012;
const GAP_SHARE = 0.04;

export function overlay(arranged: Arrangement, rig: Rig, taken: readonly Taken[], measure: Measure | null): Overlay {
  const { state } = arranged;
  const told = onFocus(arranged);
  const extras = [...told.extras, ...taken.map((one) => outline(arranged, rig, one))];
  if (!measure || state.tray !== "measure") return { ...told, extras };
  const mark: Mark = { at: scale(add(measure.from, measure.to), 0.5), text: measured(measure.mm, state.units), kind: "measure" };
  const line: Extra = { segments: [[measure.from, measure.to]], colour: "accent", width: 3 };
  return { ...told, extras: [...extras, line], marks: [...told.marks, mark] };
}

function onFocus(arranged: Arrangement): Overlay {
  const { model, state } = arranged;
  const { focus } = state;
  const named = (name: string, kind: Mark["kind"]): Mark[] => {
    const body: Body | undefined = model.byName.get(name);
    return body && arranged.look(body) !== Look.gone ? [{ at: add(middle(body), arranged.offset(body)), text: name, kind }] : [];
  };
  switch (focus.kind) {
    case "part":
      return { marks: named(focus.name, "chosen"), extras: [], meshes: [] };
    case "joint":
      return {
        marks: arranged.joint ? [arranged.joint.member, arranged.joint.receiver].flatMap((name) => named(name, "step")) : [],
        extras: [],
        meshes: [],
      };
    case "finding":
      return onFinding(arranged, focus.index);
    case "step":
    case "piece":
      return { marks: [], extras: [], meshes: [] };
  }
}

function onFinding(arranged: Arrangement, index: number): Overlay {
  const { model, state } = arranged;
  const finding = model.report.findings[index]!;
  const at = arranged.place(index);
  const mesh = model.report.overlaps.find((one) => one.name === finding.overlap)?.mesh;
  const meshes = mesh ? [mesh] : [];
  if (!at) return { marks: [], extras: [], meshes };
  const figure = inAWord(finding, state.units);
  const segments = gapOf(arranged, finding, at) ?? cross3(at, model.reach * CROSS_SHARE);
  const text = SIGNS[finding.severity].join(" ") + (figure ? `: ${figure}` : "");
  return { marks: [{ at, text, kind: finding.severity }], extras: [{ segments, colour: "bad", width: 3 }], meshes };
}

/** Two strokes that end where the faces of a gap are: what stands open is the room between them. */
function gapOf(arranged: Arrangement, finding: Finding, at: Vec): [Vec, Vec][] | null {
  const gap = finding.numbers.gap_mm;
  const fits = arranged.model.report.joints.find((one) => one.id === finding.joint)?.fits ?? [];
  const fit = fits.find((one) => one.measured && Math.hypot(...sub(one.measured.at, at)) < 1e-3);
  if (!gap || !fit) return null;
  const [near, far] = [gap / 2, gap / 2 + arranged.model.reach * GAP_SHARE];
  return [-1, 1].map((way): [Vec, Vec] => [add(at, scale(fit.direction, way * near)), add(at, scale(fit.direction, way * far))]);
}

function outline(arranged: Arrangement, rig: Rig, one: Taken): Extra {
  const offset = arranged.offset(arranged.model.byName.get(one.body)!);
  const at = add(one.at, offset);
  const dot = cross3(at, rig.mmPerPixel * 9);
  switch (one.kind) {
    case "edge":
      return { segments: [[add(one.from, offset), add(one.to, offset)]], colour: "accent", width: 6 };
    case "round":
      return {
        segments: one.ring.slice(1).map((p, n) => [add(one.ring[n]!, offset), add(p, offset)] as const),
        colour: "accent",
        width: 6,
      };
    case "point":
      return { segments: dot, colour: "accent", width: 5 };
    case "face":
      return { segments: [...dot, [at, add(at, scale(one.normal, rig.mmPerPixel * 40))]], colour: "accent", width: 5 };
  }
}
