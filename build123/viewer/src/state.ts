// What the page shows, and the same as the part of an address after "#", so that a link shows the same thing.
import type { Model } from "./model";
import type { Report, Vec } from "./report";
import type { Sight } from "./rig";
import type { Units } from "./units";

export type Focus =
  | { readonly kind: "piece" }
  | { readonly kind: "part"; readonly name: string }
  | { readonly kind: "joint"; readonly id: string }
  | { readonly kind: "finding"; readonly index: number }
  | { readonly kind: "step"; readonly number: number };

export type Tab = "parts" | "joints" | "findings" | "order";
export type Tray = "" | "views" | "apart" | "cut" | "measure";
export type Axis = "x" | "y" | "z";
export type Theme = "" | "light" | "dark";

export interface Cut {
  readonly axis: Axis;
  readonly mm: number;
  /** The side that is taken away: beyond the plane along the axis, or before it. */
  readonly beyond: boolean;
}

export interface State {
  readonly sight: Sight;
  readonly focus: Focus;
  readonly hidden: ReadonlySet<string>;
  /** From together (0) to fully pulled apart (1). */
  readonly apart: number;
  /** The same for the joint or the step in focus. */
  readonly open: number;
  readonly cut: Cut | null;
  readonly units: Units;
  readonly theme: Theme;
  readonly tab: Tab;
  readonly tray: Tray;
  readonly query: string;
  /** Labels of fittings whose list is open. */
  readonly unfolded: ReadonlySet<string>;
}

/** The list that a thing is from. */
export function tabOf(focus: Focus, tab: Tab): Tab {
  return { piece: tab, part: "parts", joint: "joints", finding: "findings", step: "order" }[focus.kind] as Tab;
}

/** The same thing in the new piece; the piece itself where it is gone. */
export function stillThere(focus: Focus, before: Report, { report, byName }: Model): Focus {
  if (focus.kind === "finding") {
    const told = before.findings[focus.index]!;
    const index = report.findings.findIndex(
      (one) => one.id === told.id && one.joint === told.joint && one.parts.join() === told.parts.join(),
    );
    return index < 0 ? PIECE : { kind: "finding", index };
  }
  const there =
    (focus.kind === "part" && byName.has(focus.name)) ||
    (focus.kind === "joint" && report.joints.some((one) => one.id === focus.id)) ||
    (focus.kind === "step" && !!report.glue_up?.steps.some((one) => one.number === focus.number));
  return there ? focus : PIECE;
}

/** What the window may show, mm, and how far from the origin its middle may be. */
export const SPANS = [2, 60_000] as const;
const FAR_MM = 1e6;
const MOST_RUNS = 1000;

export const PIECE: Focus = { kind: "piece" };
const ORDER: readonly Axis[] = ["x", "y", "z"];
export const axisIndex = (axis: Axis): 0 | 1 | 2 => ORDER.indexOf(axis) as 0 | 1 | 2;

export function toHash(state: State, model: Model): string {
  const out = new URLSearchParams();
  const { sight, focus } = state;
  const figures = [sight.yaw, sight.pitch, sight.span, ...sight.target].map((n) => String(Math.round(n * 100) / 100));
  out.set("eye", [...figures, sight.parallel ? "parallel" : "perspective"].join("_"));
  if (focus.kind === "part") out.set("part", focus.name);
  if (focus.kind === "joint") out.set("joint", focus.id);
  if (focus.kind === "finding") out.set("finding", String(focus.index + 1));
  if (focus.kind === "step") out.set("step", String(focus.number));
  const shown = model.bodies.filter((body) => !state.hidden.has(body.name));
  const away = model.bodies.filter((body) => state.hidden.has(body.name));
  if (away.length) {
    const [key, some] = shown.length < away.length ? ["only", shown] : ["hide", away];
    out.set(key, runs(some.map((body) => body.index + 1)));
  }
  if (state.apart) out.set("apart", String(Math.round(state.apart * 100)));
  if (focus.kind === "joint" || focus.kind === "step") out.set("open", String(Math.round(state.open * 100)));
  if (state.cut) out.set("cut", [state.cut.axis, Math.round(state.cut.mm * 100) / 100, state.cut.beyond ? "beyond" : "before"].join("_"));
  out.set("units", state.units);
  return `#${out.toString()}`;
}

/** What an address asks for; what it does not say, or says of things that are not there, is left out. */
export function fromHash(hash: string, model: Model): Partial<State> {
  const said = new URLSearchParams(hash.replace(/^#/, ""));
  const eye = (said.get("eye") ?? "").split("_");
  const [yaw, pitch, span, x, y, z] = eye.slice(0, 6).map(Number);
  const well = eye.length === 7 && [yaw, pitch, span, x, y, z].every((n) => Number.isFinite(n)) && span! > 0;
  const focus = focusOf(said, model);
  const hidden = hiddenOf(said, model);
  const cut = cutOf(said.get("cut"));
  const units = said.get("units");
  return {
    ...(well && {
      sight: {
        yaw: yaw!,
        pitch: clamp(pitch!, -90, 90),
        span: clamp(span!, ...SPANS),
        target: [x!, y!, z!].map((n) => clamp(n, -FAR_MM, FAR_MM)) as unknown as Vec,
        parallel: eye[6] === "parallel",
      },
    }),
    ...(focus && { focus }),
    ...(hidden && { hidden }),
    ...(said.has("apart") && { apart: share(said.get("apart")) }),
    ...(said.has("open") && { open: share(said.get("open")) }),
    ...(cut && { cut }),
    ...((units === "mm" || units === "in") && { units }),
  };
}

function focusOf(said: URLSearchParams, model: Model): Focus | null {
  const [part, joint, finding, step] = ["part", "joint", "finding", "step"].map((key) => said.get(key));
  if (part && model.byName.has(part)) return { kind: "part", name: part };
  if (joint && model.report.joints.some((one) => one.id === joint)) return { kind: "joint", id: joint };
  if (finding && model.report.findings[Number(finding) - 1]) return { kind: "finding", index: Number(finding) - 1 };
  if (step && model.report.glue_up?.steps.some((one) => one.number === Number(step))) return { kind: "step", number: Number(step) };
  return null;
}

function hiddenOf(said: URLSearchParams, model: Model): Set<string> | null {
  const only = said.get("only");
  const listed = only ?? said.get("hide");
  if (listed === null) return null;
  const numbers = new Set(fromRuns(listed));
  return new Set(model.bodies.filter((body) => numbers.has(body.index + 1) === (only === null)).map((body) => body.name));
}

function cutOf(text: string | null): Cut | null {
  const [axis, mm, side] = (text ?? "").split("_");
  if ((axis !== "x" && axis !== "y" && axis !== "z") || !Number.isFinite(Number(mm))) return null;
  return { axis, mm: Number(mm), beyond: side !== "before" };
}

/** "1-3.7" for 1, 2, 3, 7. */
function runs(numbers: readonly number[]): string {
  const out: string[] = [];
  for (let n = 0; n < numbers.length;) {
    let to = n;
    while (numbers[to + 1] === numbers[to]! + 1) to++;
    out.push(to > n ? `${numbers[n]}-${numbers[to]}` : String(numbers[n]));
    n = to + 1;
  }
  return out.join(".");
}

function fromRuns(text: string): number[] {
  return text
    .split(".")
    .slice(0, MOST_RUNS)
    .flatMap((run) => {
      const [from, to] = run.split("-").map(Number);
      if (!from) return [];
      return Array.from({ length: Math.min(Math.max((to ?? from) - from + 1, 0), 10_000) }, (_, n) => from + n);
    });
}

const share = (text: string | null): number => clamp(Number(text) || 0, 0, 100) / 100;
export const clamp = (n: number, low: number, high: number): number => Math.min(Math.max(n, low), high);
