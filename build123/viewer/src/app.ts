// The page as one value and what follows from it: what is drawn, what is written, what the address says.
import { type Offsets, pulledApart } from "./apart";
import { Arrangement } from "./arrangement";
import type { Desk } from "./desk";
import { byId, plural } from "./dom";
import { listen } from "./gestures";
import { Marks } from "./marks";
import { between as distance, type Measure, sizeOf, word } from "./measure";
import { type Model, modelOf, NOTHING } from "./model";
import { overlay } from "./overlay";
import { Paper } from "./paper";
import { firstHit, type Shown, take, type Taken } from "./pick";
import type { Piece } from "./report";
import { between, Rig, type Sight } from "./rig";
import { Picture } from "./scene";
import { fitted, sightFor } from "./sights";
import { type Focus, fromHash, PIECE, type State, stillThere, tabOf, toHash } from "./state";
import { palette, storedTheme, storeTheme } from "./theme";
import { Tools, VIEWS } from "./tools";
import { measured } from "./units";
import { live, verdict } from "./words";

/** As in style.css: the paper lies under the model, and gives way to a tray. */
const NARROW = matchMedia("(max-width: 820px)");
const FLIGHT_MS = 380;
const ADDRESS_MS = 120;
const FINGER_PX = 22;
const MOUSE_PX = 12;
/** What the eye flies to, to come back from later. */
const VISITED: readonly Focus["kind"][] = ["joint", "finding", "step"];

export class App {
  private readonly rig = new Rig();
  private readonly canvas = byId<HTMLCanvasElement>("model");
  private readonly picture = new Picture(this.canvas, this.rig);
  private readonly marks = new Marks();
  private readonly paper = new Paper(() => this.desk);
  private readonly tools = new Tools(
    () => this.desk,
    () => this.bench,
  );
  private readonly calm = matchMedia("(prefers-reduced-motion: reduce)");
  private readonly dark = matchMedia("(prefers-color-scheme: dark)");
  private model: Model = modelOf(NOTHING);
  private state: State = {
    sight: this.rig.sight,
    focus: PIECE,
    hidden: new Set(),
    apart: 0,
    open: 0.5,
    cut: null,
    units: "mm",
    theme: storedTheme(),
    tab: "parts",
    tray: "",
    query: "",
    unfolded: new Set(),
  };
  private loaded = false;
  private apart: Offsets = new Map();
  private arranged = new Arrangement(this.model, this.state, this.apart);
  private taken: Taken[] = [];
  private aimed: Taken | null = null;
  private sheets = new Map<string, string>();
  /** From where the eye left for a joint, a finding or a step. */
  private stood: Sight | null = null;
  private flight: { from: Sight; to: Sight; start: number } | null = null;
  private dirty = false;
  private addressed = 0;

  constructor() {
    listen(this.canvas, this.rig, {
      look: (sight) => this.look(sight),
      pick: (x, y, coarse) => this.pick(x, y, coarse ? FINGER_PX : MOUSE_PX),
      aim: (x, y) => this.aim(x, y),
      unaim: () => {
        this.aimed = null;
        this.overlay();
        this.soon();
      },
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
      this.picture.paint({ ...palette("light"), ground: "#ffffff" });
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
    this.state = {
      ...state,
      hidden: new Set([...state.hidden].filter((name) => this.model.byName.has(name))),
      focus: stillThere(state.focus, before, this.model),
    };
    this.resize();
    if (!again) {
      this.state = { ...this.state, sight: fitted(this.rig, this.arrange(), { ...this.rig.sight, yaw: VIEWS[0][1], pitch: VIEWS[0][2] }) };
      this.state = { ...this.state, ...fromHash(location.hash, this.model) };
      this.state = { ...this.state, tab: tabOf(this.state.focus, this.state.tab) };
      if (this.state.focus.kind !== "piece" && !/[#&]eye=/.test(location.hash))
        this.state = { ...this.state, sight: sightFor(this.rig, this.arrange()) };
    }
    this.rig.sight = this.state.sight;
    this.paint();
    this.refresh();
    performance.mark("shown");
    document.documentElement.dataset.ready = "true";
  }

  readonly desk: Desk = ((app: App): Desk => ({
    get model() {
      return app.model;
    },
    get state() {
      return app.state;
    },
    change: (patch) => app.change(patch),
    go: (focus) => app.go(focus),
    fit: (names) => app.fit(names),
    say: (words) => app.say(words),
    sheet: (path) => app.sheet(path),
  }))(this);

  private readonly bench = ((app: App) => ({
    get room() {
      return app.arranged.room();
    },
    get taken() {
      return app.taken.map(word);
    },
    get measure() {
      return app.measure();
    },
    view: (yaw: number, pitch: number) => app.fly(fitted(app.rig, app.arranged, { ...app.state.sight, yaw, pitch })),
    clear: () => {
      app.taken = [];
      app.refresh();
    },
  }))(this);

  private change(patch: Partial<State>): void {
    const before = this.state;
    this.state = { ...before, ...patch };
    if (patch.theme !== undefined) {
      storeTheme(patch.theme);
      this.paint();
    }
    if (patch.tray !== undefined && patch.tray !== "measure") this.taken = [];
    // What the pointer was over may be gone with this change.
    this.aimed = null;
    if (patch.sight) {
      this.flight = null;
      this.rig.sight = patch.sight;
    }
    this.refresh();
    const left = VISITED.includes(before.focus.kind) && !VISITED.includes(this.state.focus.kind);
    if (left && !patch.sight) this.fly(this.stood ?? fitted(this.rig, this.arranged, this.state.sight));
  }

  private go(focus: Focus): void {
    const opens = (focus.kind === "joint" || focus.kind === "step") && focus.kind !== this.state.focus.kind ? { open: 0.5 } : {};
    const tab = tabOf(focus, this.state.tab);
    if (!VISITED.includes(this.state.focus.kind)) this.stood = this.state.sight;
    this.change({ focus, tab, query: "", ...opens });
    if (focus.kind !== "part") this.fly(sightFor(this.rig, this.arranged));
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
    this.fly(fitted(this.rig, this.arranged, this.state.sight, names));
  }

  private shown(): Shown {
    const { solid, offset, plane } = this.arranged;
    return { model: this.model, solid, offset, plane, caps: this.picture.caps };
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
    this.overlay();
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
    this.arrange();
    this.picture.set(
      this.model.bodies.map((body) => this.arranged.look(body)),
      this.arranged.offset,
      this.arranged.plane,
    );
    const { counts } = this.model.report;
    const said = [
      plural(counts.parts ?? 0, "part"),
      plural(counts.joints ?? 0, "joint"),
      ...(counts.errors ? [plural(counts.errors, "error")] : []),
      ...(counts.warnings ? [plural(counts.warnings, "warning")] : []),
    ];
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
    this.overlay();
    this.soon();
  }

  private arrange(): Arrangement {
    this.arranged = new Arrangement(this.model, this.state, this.apart);
    return this.arranged;
  }

  private overlay(): void {
    const taken = this.aimed ? [...this.taken, this.aimed] : this.taken;
    const { marks, extras, meshes } = overlay(this.arranged, this.rig, taken, this.measure());
    this.picture.overlaps(meshes, extras);
    this.marks.set(marks);
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
    document.documentElement.dataset.told = "false";
    this.addressed = window.setTimeout(() => {
      const hash = toHash(this.state, this.model);
      if (hash !== location.hash) history.replaceState(null, "", hash);
      document.documentElement.dataset.told = "true";
    }, ADDRESS_MS);
  }

  private fromAddress(): void {
    if (!this.loaded) return;
    clearTimeout(this.addressed);
    this.stood = null;
    const said = { focus: PIECE, hidden: new Set<string>(), apart: 0, cut: null, ...fromHash(location.hash, this.model) };
    this.change({ ...said, tab: tabOf(said.focus, this.state.tab) });
  }

  private isDark(): boolean {
    return this.state.theme ? this.state.theme === "dark" : this.dark.matches;
  }

  private paint(theme: "light" | "dark" = this.isDark() ? "dark" : "light"): void {
    const root = document.documentElement;
    root.dataset.theme = theme;
    byId("theme").textContent = theme === "dark" ? "Light" : "Dark";
    this.picture.paint(palette(theme));
    this.overlay();
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
