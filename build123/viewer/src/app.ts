// The page as one value and what follows from it: what is drawn, what is written, what the address says.
import { type Offsets, opened, pulledApart, stepBack } from "./apart";
import type { Desk } from "./desk";
import { byId, plural } from "./dom";
import { listen } from "./gestures";
import { Marks, type Mark } from "./marks";
import { between as distance, type Measure, sizeOf, word } from "./measure";
import { type Body, boxOf, middle, type Model, modelOf, NOTHING } from "./model";
import { Paper } from "./paper";
import { firstHit, type Shown, take, type Taken } from "./pick";
import type { Finding, Piece, Report, Vec } from "./report";
import { axes, between, Rig, type Sight } from "./rig";
import { cross3, type Extra, Picture } from "./scene";
import type { Plane } from "./section";
import { Look } from "./shaders";
import { axisIndex, clamp, type Focus, fromHash, PIECE, type State, type Theme, toHash } from "./state";
import { Tools, VIEWS } from "./tools";
import { measured } from "./units";
import { add, dot, scale, sub } from "./vec";
import { inAWord, live, SIGNS, verdict } from "./words";

const STILL: Vec = [0, 0, 0];
/** As in style.css: the paper lies under the model, and gives way to a tray. */
const NARROW = matchMedia("(max-width: 820px)");
const FLIGHT_MS = 380;
const ADDRESS_MS = 300;
const FINGER_PX = 22;
const MOUSE_PX = 12;

export class App {
  private readonly rig = new Rig();
  private readonly canvas = byId<HTMLCanvasElement>("model");
  private readonly picture = new Picture(this.canvas, this.rig);
  private readonly marks = new Marks();
  private readonly paper = new Paper(() => this.desk);
  private readonly tools = new Tools(() => this.desk, () => this.bench);
  private readonly calm = matchMedia("(prefers-reduced-motion: reduce)");
  private readonly dark = matchMedia("(prefers-color-scheme: dark)");
  private model: Model = modelOf(NOTHING);
  private state: State = {
    sight: this.rig.sight, focus: PIECE, hidden: new Set(), apart: 0, open: 0.5, cut: null, units: "mm", theme: stored(), tab: "parts", tray: "", query: "",
  };
  private loaded = false;
  private apart: Offsets = new Map();
  private part: Offsets = new Map();
  private taken: Taken[] = [];
  private aimed: Taken | null = null;
  private sheets = new Map<string, string>();
  private flight: { from: Sight; to: Sight; start: number } | null = null;
  private dirty = false;
  private addressed = 0;

  constructor() {
    listen(this.canvas, this.rig, {
      look: (sight) => this.look(sight),
      pick: (x, y, coarse) => this.pick(x, y, coarse ? FINGER_PX : MOUSE_PX),
      aim: (x, y) => this.aim(x, y),
      nearTo: (x, y) => {
        const hit = firstHit(this.rig.ray(x, y), this.shown());
        if (hit) this.fit([hit.body.name]);
      },
      key: (event) => this.key(event),
    });
    this.paint();
    this.refresh();
    byId("flat").hidden = this.picture.works;
    this.canvas.addEventListener("webglcontextrestored", () => this.soon());
    new ResizeObserver(() => this.resize()).observe(byId("stage"));
    window.addEventListener("hashchange", () => this.fromAddress());
    this.dark.addEventListener("change", () => this.paint());
    byId("theme").addEventListener("click", () => this.change({ theme: this.isDark() ? "light" : "dark" }));
    for (const units of ["mm", "in"] as const) byId(`units-${units}`).addEventListener("click", () => this.change({ units }));
    byId("grip").addEventListener("click", () => this.sheetUp(!document.body.classList.contains("up")));
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && !document.querySelector("dialog[open]")) this.backOut();
    });
    window.addEventListener("afterprint", () => this.paint());
    window.addEventListener("beforeprint", () => {
      this.paint("light");
      this.picture.draw();
      byId<HTMLImageElement>("photo").src = this.canvas.toDataURL("image/png");
    });
  }

  /** The first piece, or another in its place: what the eye, the choice and the hidden parts were stays where it still makes sense. */
  load(piece: Piece): void {
    const again = this.loaded;
    const before = this.model.report;
    this.model = modelOf(piece);
    this.loaded = true;
    for (const address of this.sheets.values()) URL.revokeObjectURL(address);
    this.sheets.clear();
    this.apart = pulledApart(this.model);
    this.taken = [];
    this.picture.show(this.model);
    const { report } = this.model;
    document.title = report.piece;
    byId("name").textContent = report.piece;
    const tab = live(report.findings).some((one) => one.severity === "error") ? "findings" : "parts";
    const state: State = again ? this.state : { ...this.state, units: report.units, tab };
    this.state = { ...state, hidden: new Set([...state.hidden].filter((name) => this.model.byName.has(name))), focus: this.still(state.focus, before) };
    this.resize();
    if (!again) {
      this.state = { ...this.state, sight: this.wholeSight({ ...this.rig.sight, yaw: VIEWS[0][1], pitch: VIEWS[0][2] }) };
      this.state = { ...this.state, ...fromHash(location.hash, this.model) };
      if (this.state.focus.kind !== "piece" && !/[#&]eye=/.test(location.hash)) this.state = { ...this.state, sight: this.sightFor(this.state.focus) };
    }
    this.rig.sight = this.state.sight;
    this.paint();
    this.refresh();
    performance.mark("shown");
    document.documentElement.dataset.ready = "true";
  }

  readonly desk: Desk = ((app: App): Desk => ({
    get model() { return app.model; },
    get state() { return app.state; },
    change: (patch) => app.change(patch),
    go: (focus) => app.go(focus),
    fit: (names) => app.fit(names),
    say: (words) => app.say(words),
    sheet: (path) => app.sheet(path),
  }))(this);

  private readonly bench = ((app: App) => ({
    get room() { return app.room(); },
    get taken() { return app.taken.map(word); },
    get measure() { return app.measure(); },
    view: (yaw: number, pitch: number) => app.fly(app.fitted({ ...app.state.sight, yaw, pitch })),
    clear: () => { app.taken = []; app.refresh(); },
  }))(this);

  private change(patch: Partial<State>): void {
    const before = this.state;
    this.state = { ...before, ...patch };
    if (patch.theme !== undefined) {
      store(patch.theme);
      this.paint();
    }
    if (patch.tray !== undefined && patch.tray !== "measure") this.taken = [];
    if (patch.sight) {
      this.flight = null;
      this.rig.sight = patch.sight;
    }
    this.refresh();
  }

  private go(focus: Focus): void {
    const opens = (focus.kind === "joint" || focus.kind === "step") && focus.kind !== this.state.focus.kind ? { open: 0.5 } : {};
    const tab = ({ part: "parts", joint: "joints", finding: "findings", step: "order", piece: this.state.tab } as const)[focus.kind];
    this.change({ focus, tab, query: "", ...opens });
    if (focus.kind !== "part") this.fly(this.sightFor(focus));
    const title = document.querySelector("#leaf h2")?.textContent ?? "";
    this.say(title);
    if (NARROW.matches && this.state.tray) this.change({ tray: "" });
  }

  private look(sight: Sight): void {
    this.flight = null;
    this.rig.sight = sight;
    this.state = { ...this.state, sight };
    this.soon();
  }

  private fly(to: Sight): void {
    if (this.calm.matches) return this.look(to);
    this.flight = { from: this.rig.sight, to, start: performance.now() };
    this.state = { ...this.state, sight: to };
    this.soon();
  }

  private fit(names?: readonly string[]): void {
    this.fly(this.fitted(this.state.sight, names));
  }

  private fitted(sight: Sight, names?: readonly string[]): Sight {
    const some = names ? this.model.bodies.filter((body) => names.includes(body.name)) : this.model.bodies.filter((body) => this.lookOf(body) !== Look.gone);
    const box = boxOf(some, this.offset) ?? { low: this.model.low, high: this.model.high };
    return { ...sight, target: middle(box), span: this.rig.spanFor(box, sight) };
  }

  private wholeSight(sight: Sight): Sight {
    return { ...sight, target: middle(this.model), span: this.rig.spanFor(this.model, sight) };
  }

  /** A sight that shows what is in focus, from a side where it is not hidden. */
  private sightFor(focus: Focus): Sight {
    const { sight } = this.state;
    if (focus.kind === "joint") return this.sightOnJoint(focus.id);
    if (focus.kind === "finding") {
      const finding = this.model.report.findings[focus.index]!;
      const bodies = finding.parts.map((name) => this.model.byName.get(name)).filter((body): body is Body => !!body);
      const box = boxOf(bodies, () => STILL);
      const at = this.placeOf(focus.index);
      if (!at || !box) return this.fitted(sight);
      const lap = this.model.report.overlaps.find((one) => one.name === finding.overlap)?.mesh;
      const close = lap ? this.rig.spanFor({ low: least(lap.vertices, Math.min), high: least(lap.vertices, Math.max) }, sight) * 1.8 : 0;
      return { ...sight, target: at, span: Math.min(this.rig.spanFor(box, sight), Math.max(close, this.model.reach * 0.3, 150)) };
    }
    return this.fitted(sight);
  }

  /** Where the fits of a joint lie, with its gap open, from the side to which it opens. */
  private sightOnJoint(id: string): Sight {
    const joint = this.model.report.joints.find((one) => one.id === id)!;
    const [x, y, z] = joint.opens ?? [0, 0, 0];
    const sight = facing(this.state.sight, joint.opens ?? [0, 0, 0]);
    const near = joint.fits.map((fit) => fit.near);
    if (!near.length || (!x && !y && !z)) return this.fitted(sight);
    const apart = scale(opened(this.model, joint).get(joint.member) ?? STILL, this.state.open);
    const ends = near.flatMap((box) => [box.low, box.high, add(box.low, apart), add(box.high, apart)]);
    const box = { low: least(ends, Math.min), high: least(ends, Math.max) };
    const reach = Math.hypot(...sub(box.high, box.low));
    return { ...sight, target: middle(box), span: Math.max(this.rig.spanFor(box, sight), reach * 0.9) * 1.15 };
  }

  private placeOf(index: number): Vec | null {
    const finding = this.model.report.findings[index]!;
    if (finding.at_mm) return finding.at_mm;
    const lap = this.model.report.overlaps.find((one) => one.name === finding.overlap);
    if (lap) return lap.at;
    const bodies = finding.parts.map((name) => this.model.byName.get(name)).filter((body): body is Body => !!body);
    const box = boxOf(bodies, () => STILL);
    return box && middle(box);
  }

  private readonly offset = (body: Body): Vec => {
    const { focus, apart, open } = this.state;
    if (focus.kind === "joint" || focus.kind === "step") return scale(this.part.get(body.name) ?? STILL, open);
    return focus.kind === "finding" || !apart ? STILL : scale(this.apart.get(body.name) ?? STILL, apart);
  };

  private lookOf(body: Body): Look {
    const { focus, hidden } = this.state;
    switch (focus.kind) {
      case "joint": {
        const joint = this.model.report.joints.find((one) => one.id === focus.id)!;
        return body.name === joint.member || body.name === joint.receiver || body.hardware?.joint === joint.id ? Look.plain : Look.gone;
      }
      case "step": {
        const steps = this.model.report.glue_up!.steps;
        const now = steps.findIndex((one) => one.number === focus.number);
        if (steps[now]!.bodies.includes(body.name)) return Look.chosen;
        const there = steps.slice(0, now).filter((one) => one.bodies.includes(body.name));
        return there.length && there[there.length - 1]!.within === steps[now]!.within ? Look.plain : Look.gone;
      }
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

  private plane(): Plane | null {
    const { cut } = this.state;
    if (!cut) return null;
    const normal: [number, number, number] = [0, 0, 0];
    normal[axisIndex(cut.axis)] = cut.beyond ? 1 : -1;
    return { normal, at: cut.beyond ? cut.mm : -cut.mm };
  }

  private room(): { low: Vec; high: Vec } {
    return boxOf(this.model.bodies.filter((body) => this.lookOf(body) !== Look.gone), this.offset) ?? { low: this.model.low, high: this.model.high };
  }

  private shown(): Shown {
    const solid = (body: Body): boolean => ![Look.gone, Look.lines].includes(this.lookOf(body));
    return { model: this.model, solid, offset: this.offset, plane: this.plane(), caps: this.picture.caps };
  }

  private measure(): Measure | null {
    const [a, b] = this.taken;
    return a && b ? distance(a, b) : a ? sizeOf(a) : null;
  }

  private pick(x: number, y: number, reach: number): void {
    if (this.state.tray === "measure") {
      const one = take(this.rig, x, y, reach, this.shown());
      if (!one) return;
      this.taken = this.taken.length > 1 ? [one] : [...this.taken, one];
      this.aimed = null;
      this.refresh();
      const measure = this.measure();
      this.say(measure ? `${measure.what}: ${measured(measure.mm, this.state.units)}` : `took ${word(one)} of ${one.body}`);
      return;
    }
    const hit = firstHit(this.rig.ray(x, y), this.shown());
    if (hit) this.go({ kind: "part", name: hit.body.name });
    else if (this.state.focus.kind === "part") this.change({ focus: PIECE });
  }

  private aim(x: number, y: number): void {
    if (this.state.tray !== "measure" || this.flight) return;
    this.aimed = take(this.rig, x, y, MOUSE_PX, this.shown());
    this.extras();
    this.soon();
  }

  private key(event: KeyboardEvent): boolean {
    const view = VIEWS[Number(event.key) - 1];
    if (view) this.bench.view(view[1], view[2]);
    else if (event.key === "0") this.fit();
    else if (event.key === "Enter") this.pick(this.rig.width / 2, this.rig.height / 2, FINGER_PX);
    else return false;
    return true;
  }

  private backOut(): void {
    if (this.taken.length) this.taken = [];
    else if (this.state.tray) {
      const button = document.querySelector<HTMLElement>(`#rail [data-tray=${this.state.tray}]`);
      if (byId("tray").contains(document.activeElement)) button?.focus();
      return this.change({ tray: "" });
    } else if (this.state.focus.kind !== "piece") return this.change({ focus: PIECE });
    this.refresh();
  }

  /** Everything that follows from the state, but for the picture itself, which is drawn with the next frame. */
  private refresh(): void {
    const { focus, units } = this.state;
    const joint = focus.kind === "joint" ? this.model.report.joints.find((one) => one.id === focus.id) : undefined;
    this.part = joint ? opened(this.model, joint) : focus.kind === "step" ? stepBack(this.model, focus.number) : new Map();
    this.picture.set(this.model.bodies.map((body) => this.lookOf(body)), this.offset, this.plane());
    const { counts } = this.model.report;
    const said = [plural(counts.parts ?? 0, "part"), plural(counts.joints ?? 0, "joint"), ...(counts.errors ? [plural(counts.errors, "error")] : []), ...(counts.warnings ? [plural(counts.warnings, "warning")] : [])];
    const failed = this.model.report.dry_fit === "failed";
    byId("verdict").textContent = this.loaded ? `${failed ? "✕" : "✓"} ${verdict(this.model.report)}` : "No model yet";
    byId("verdict").className = `sign ${failed ? "error" : this.loaded ? "good" : ""}`;
    byId("counts").textContent = this.loaded ? said.join(", ") : "";
    for (const one of ["mm", "in"] as const) byId(`units-${one}`).setAttribute("aria-pressed", String(units === one));
    document.body.classList.toggle("one", focus.kind !== "piece");
    document.body.classList.toggle("tooled", this.state.tray !== "");
    byId("stage").classList.toggle("measuring", this.state.tray === "measure");
    this.paper.show();
    this.tools.show();
    this.extras();
    this.soon();
  }

  private extras(): void {
    const { focus, units } = this.state;
    const marks: Mark[] = [];
    const extras: Extra[] = [];
    const meshes = [];
    if (focus.kind === "part") {
      const body = this.model.byName.get(focus.name);
      if (body && this.lookOf(body) !== Look.gone) marks.push({ at: add(middle(body), this.offset(body)), text: body.name, kind: "chosen" });
    }
    if (focus.kind === "joint") {
      const joint = this.model.report.joints.find((one) => one.id === focus.id)!;
      for (const name of [joint.member, joint.receiver]) {
        const body = this.model.byName.get(name);
        if (body) marks.push({ at: add(middle(body), this.offset(body)), text: name, kind: "step" });
      }
    }
    if (focus.kind === "finding") {
      const finding = this.model.report.findings[focus.index]!;
      const lap = this.model.report.overlaps.find((one) => one.name === finding.overlap);
      if (lap?.mesh) meshes.push(lap.mesh);
      const at = this.placeOf(focus.index);
      if (at) {
        extras.push({ segments: this.gapOf(finding, at) ?? cross3(at, this.model.reach * 0.012), colour: "bad", width: 3 });
        const figure = inAWord(finding, units);
        marks.push({ at, text: SIGNS[finding.severity].join(" ") + (figure ? `: ${figure}` : ""), kind: finding.severity });
      }
    }
    for (const one of [...this.taken, ...(this.aimed ? [this.aimed] : [])]) extras.push(this.outline(one));
    const measure = this.measure();
    if (measure && this.state.tray === "measure") {
      extras.push({ segments: [[measure.from, measure.to]], colour: "accent", width: 3 });
      marks.push({ at: scale(add(measure.from, measure.to), 0.5), text: measured(measure.mm, units), kind: "measure" });
    }
    this.picture.overlaps(meshes, extras);
    this.marks.set(marks);
  }

  /** Two strokes that end where the faces of a gap are: what stands open is the room between them. */
  private gapOf(finding: Finding, at: Vec): [Vec, Vec][] | null {
    const gap = finding.numbers.gap_mm;
    const fits = this.model.report.joints.find((one) => one.id === finding.joint)?.fits ?? [];
    const fit = fits.find((one) => one.measured && Math.hypot(...sub(one.measured.at, at)) < 1e-3);
    if (!gap || !fit) return null;
    const [near, far] = [gap / 2, gap / 2 + this.model.reach * 0.04];
    return [-1, 1].map((way): [Vec, Vec] => [add(at, scale(fit.direction, way * near)), add(at, scale(fit.direction, way * far))]);
  }

  private outline(one: Taken): Extra {
    const offset = this.offset(this.model.byName.get(one.body)!);
    const at = add(one.at, offset);
    const dot = cross3(at, this.rig.mmPerPixel * 9);
    if (one.kind === "edge") return { segments: [[add(one.from, offset), add(one.to, offset)]], colour: "accent", width: 6 };
    if (one.kind === "round") return { segments: one.ring.slice(1).map((p, n) => [add(one.ring[n]!, offset), add(p, offset)] as const), colour: "accent", width: 6 };
    return { segments: one.kind === "point" ? dot : [...dot, [at, add(at, scale(one.normal, this.rig.mmPerPixel * 40))]], colour: "accent", width: 5 };
  }

  private resize(): void {
    const { clientWidth, clientHeight } = byId("stage");
    if (!clientWidth || !clientHeight) return;
    this.picture.size(clientWidth, clientHeight, Math.min(devicePixelRatio, 2));
    this.draw(performance.now());
  }

  private soon(): void {
    document.documentElement.dataset.still = "false";
    if (this.dirty) return;
    this.dirty = true;
    requestAnimationFrame((now) => this.draw(now));
  }

  private draw(now: number): void {
    this.dirty = false;
    if (this.flight) {
      const t = Math.min((now - this.flight.start) / FLIGHT_MS, 1);
      this.rig.sight = between(this.flight.from, this.flight.to, t < 0 ? 0 : 1 - (1 - t) ** 3);
      if (t >= 1) this.flight = null;
    }
    this.picture.draw();
    this.marks.follow(this.rig);
    this.canvas.dataset.calls = String(this.picture.calls);
    if (this.flight) this.soon();
    else {
      document.documentElement.dataset.still = "true";
      this.address();
    }
  }

  private address(): void {
    if (!this.loaded) return;
    clearTimeout(this.addressed);
    this.addressed = window.setTimeout(() => {
      const hash = toHash(this.state, this.model);
      if (hash !== location.hash) history.replaceState(null, "", hash);
    }, ADDRESS_MS);
  }

  private fromAddress(): void {
    if (!this.loaded) return;
    clearTimeout(this.addressed);
    this.change({ focus: PIECE, hidden: new Set(), apart: 0, cut: null, ...fromHash(location.hash, this.model) });
  }

  /** The same thing in the new piece; the piece itself where it is gone. */
  private still(focus: Focus, before: Report): Focus {
    const { report, byName } = this.model;
    if (focus.kind === "finding") {
      const told = before.findings[focus.index]!;
      const index = report.findings.findIndex((one) => one.id === told.id && one.joint === told.joint && one.parts.join() === told.parts.join());
      return index < 0 ? PIECE : { kind: "finding", index };
    }
    const there =
      (focus.kind === "part" && byName.has(focus.name)) ||
      (focus.kind === "joint" && report.joints.some((one) => one.id === focus.id)) ||
      (focus.kind === "step" && !!report.glue_up?.steps.some((one) => one.number === focus.number));
    return there ? focus : PIECE;
  }

  private isDark(): boolean {
    return this.state.theme ? this.state.theme === "dark" : this.dark.matches;
  }

  private paint(theme: "light" | "dark" = this.isDark() ? "dark" : "light"): void {
    const root = document.documentElement;
    root.dataset.theme = theme;
    byId("theme").textContent = theme === "dark" ? "Light" : "Dark";
    const style = getComputedStyle(root);
    const of = (name: string): string => style.getPropertyValue(name).trim();
    this.picture.paint({ ground: of("--ground"), ink: of("--line-ink"), faint: of("--line-faint"), accent: of("--mark"), tint: of("--tint"), bad: of("--bad"), lift: theme === "dark" ? 0.85 : 0.62 });
    this.extras();
    this.soon();
  }

  private sheet(path: string): string {
    const drawing = this.model.drawings[path];
    if (drawing === undefined) return "";
    const known = this.sheets.get(path) ?? URL.createObjectURL(new Blob([drawing], { type: "image/svg+xml" }));
    this.sheets.set(path, known);
    return known;
  }

  private sheetUp(up: boolean): void {
    document.body.classList.toggle("up", up);
    byId("grip").setAttribute("aria-expanded", String(up));
  }

  private say(words: string): void {
    byId("said").textContent = words;
  }
}

/** The nearest sight to this one from which the direction comes towards the eye. */
function facing(sight: Sight, direction: Vec): Sight {
  if (dot(axes(sight).back, direction) >= 0.1) return sight;
  const [x, y, z] = direction.map(Math.abs) as unknown as Vec;
  if (z >= Math.max(x, y)) return { ...sight, pitch: Math.sign(direction[2]) * Math.max(Math.abs(sight.pitch), 25) };
  const yaw = x > y ? -sight.yaw : 180 - sight.yaw;
  const turned = { ...sight, yaw: ((yaw % 360) + 360) % 360, pitch: clamp(sight.pitch, -40, 40) };
  return dot(axes(turned).back, direction) >= 0.1 ? turned : { ...turned, yaw: (Math.atan2(direction[0], -direction[1]) * 180) / Math.PI + 25 };
}

const least = (points: readonly Vec[], of: (...n: number[]) => number): Vec => [0, 1, 2].map((k) => of(...points.map((p) => p[k]!))) as unknown as Vec;

const KEY = "build123-theme";

/** What the reader chose last; a page opened from disk may have no memory. */
function stored(): Theme {
  try {
    const theme = localStorage.getItem(KEY);
    return theme === "light" || theme === "dark" ? theme : "";
  } catch {
    return "";
  }
}

function store(theme: Theme): void {
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // A page without memory shows what the system prefers next time.
  }
}
