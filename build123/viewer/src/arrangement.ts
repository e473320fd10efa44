// How the bodies stand for one state of the page: which are drawn and how, where they have moved, what is cut away.
import { type Offsets, opened, stepBack } from "./apart";
import { type Body, boxOf, middle, type Model } from "./model";
import type { Joint, Vec } from "./report";
import type { Plane } from "./section";
import { Look } from "./shaders";
import { axisIndex, type State } from "./state";
import { scale } from "./vec";

const STILL: Vec = [0, 0, 0];

export class Arrangement {
  /** The joint in focus. */
  readonly joint: Joint | null;
  private readonly part: Offsets;

  constructor(
    readonly model: Model,
    readonly state: State,
    private readonly apart: Offsets,
  ) {
    const { focus } = state;
    this.joint = focus.kind === "joint" ? (model.report.joints.find((one) => one.id === focus.id) ?? null) : null;
    this.part = this.joint ? opened(model, this.joint) : focus.kind === "step" ? stepBack(model, focus.number) : new Map();
  }

  readonly offset = (body: Body): Vec => {
    const { focus, apart, open } = this.state;
    if (focus.kind === "joint" || focus.kind === "step") return scale(this.part.get(body.name) ?? STILL, open);
    return focus.kind === "finding" || !apart ? STILL : scale(this.apart.get(body.name) ?? STILL, apart);
  };

  look(body: Body): Look {
    const { focus, hidden } = this.state;
    switch (focus.kind) {
      case "joint":
        return [this.joint?.member, this.joint?.receiver].includes(body.name) || body.hardware?.joint === focus.id ? Look.plain : Look.gone;
      case "step":
        return this.lookAtStep(body, focus.number);
      case "finding": {
        const parts = this.model.report.findings[focus.index]!.parts;
        return !parts.length || parts.includes(body.name) ? Look.glass : Look.lines;
      }
      case "part":
        return hidden.has(body.name) ? Look.gone : body.name === focus.name ? Look.chosen : Look.plain;
      case "piece":
        return hidden.has(body.name) ? Look.gone : Look.plain;
    }
  }

  /** What is brought in is marked; of the rest, what already stands in the same piece or sub-assembly. */
  private lookAtStep(body: Body, number: number): Look {
    const steps = this.model.report.glue_up!.steps;
    const now = steps.findIndex((one) => one.number === number);
    if (steps[now]!.bodies.includes(body.name)) return Look.chosen;
    const there = steps.slice(0, now).filter((one) => one.bodies.includes(body.name));
    return there.length && there[there.length - 1]!.within === steps[now]!.within ? Look.plain : Look.gone;
  }

  /** Whether a body is wood that can be touched. */
  readonly solid = (body: Body): boolean => ![Look.gone, Look.lines].includes(this.look(body));

  get plane(): Plane | null {
    const { cut } = this.state;
    if (!cut) return null;
    const normal: [number, number, number] = [0, 0, 0];
    normal[axisIndex(cut.axis)] = cut.beyond ? 1 : -1;
    return { normal, at: cut.beyond ? cut.mm : -cut.mm };
  }

  /** The box about all that is drawn, or about some of it. */
  room(names?: readonly string[]): { low: Vec; high: Vec } {
    const some = this.model.bodies.filter((body) => (names ? names.includes(body.name) : this.look(body) !== Look.gone));
    return boxOf(some, this.offset) ?? { low: this.model.low, high: this.model.high };
  }

  /** Where a finding is: its point, else its overlap, else the middle of its parts. */
  place(index: number): Vec | null {
    const { report, byName } = this.model;
    const finding = report.findings[index]!;
    const lap = report.overlaps.find((one) => one.name === finding.overlap);
    const bodies = finding.parts.map((name) => byName.get(name)).filter((body): body is Body => !!body);
    const box = boxOf(bodies, () => STILL);
    return finding.at_mm ?? lap?.at ?? (box && middle(box));
  }
}
