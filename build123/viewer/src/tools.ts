// The rail under the model and the tray that its buttons open.
import type { Desk } from "./desk";
import { byId, h, refill } from "./dom";
import { openSlider } from "./joint_leaf";
import { along, type Measure } from "./measure";
import type { Vec } from "./report";
import type { Axis, Cut, Tray } from "./state";
import { axisIndex } from "./state";
import { measured, onTheRule } from "./units";

export const VIEWS = [
  ["Corner", 28, 22],
  ["Front", 0, 0],
  ["Right", 90, 0],
  ["Back", 180, 0],
  ["Left", 270, 0],
  ["Top", 0, 90],
  ["Below", 0, -90],
] as const;

const AXES: readonly (readonly [Axis, string, string, string])[] = [
  ["x", "Width", "right", "left"],
  ["y", "Depth", "back", "front"],
  ["z", "Height", "top", "bottom"],
];

const KEYS =
  "With the model in focus: arrows turn, Shift and arrows move, + and − come nearer and go back, " +
  "0 shows the whole, 1 to 7 are the views, Enter takes what is in the middle.";

export interface Bench {
  readonly room: { low: Vec; high: Vec };
  readonly taken: readonly string[];
  readonly measure: Measure | null;
  view(yaw: number, pitch: number): void;
  clear(): void;
}

export class Tools {
  private readonly tray = byId("tray");

  constructor(
    private readonly desk: () => Desk,
    private readonly bench: () => Bench,
  ) {
    for (const button of this.buttons()) {
      const tray = button.dataset.tray as Tray;
      button.addEventListener("click", () => {
        const { state } = desk();
        const opens = state.tray !== tray;
        desk().change({
          tray: opens ? tray : "",
          ...(opens && tray === "apart" && state.focus.kind === "piece" && !state.apart ? { apart: 0.6 } : {}),
          ...(opens && tray === "cut" && !state.cut ? { cut: this.firstCut() } : {}),
        });
        if (opens && tray === "apart") desk().fit();
      });
    }
    byId("whole").addEventListener("click", () => desk().fit());
  }

  show(): void {
    const desk = this.desk();
    const { tray } = desk.state;
    for (const button of this.buttons()) button.setAttribute("aria-expanded", String(button.dataset.tray === tray));
    this.tray.hidden = !tray;
    const slider = this.tray.querySelector<HTMLInputElement>("input[type=range]");
    // A slider that is being drawn along must not be replaced under the finger.
    if (slider && document.activeElement === slider && this.tray.dataset.kind === this.kind(desk)) {
      slider.value = this.value(desk);
      this.tray.querySelector("output")?.replaceChildren(this.words(desk));
      return;
    }
    this.tray.dataset.kind = this.kind(desk);
    refill(this.tray, ...this.content(desk, tray));
  }

  private kind(desk: Desk): string {
    const { tray, focus, cut } = desk.state;
    return [
      tray,
      focus.kind === "joint" || focus.kind === "step" ? "one" : "all",
      cut?.axis ?? "",
      cut?.beyond ?? "",
      desk.state.units,
    ].join(" ");
  }

  private value(desk: Desk): string {
    const { state } = desk;
    if (state.tray === "cut") return String(state.cut?.mm ?? 0);
    return String(Math.round(100 * (this.kind(desk).includes(" one ") ? state.open : state.apart)));
  }

  private words(desk: Desk): string {
    const { state } = desk;
    if (state.tray === "cut" && state.cut) return measured(state.cut.mm - this.bench().room.low[axisIndex(state.cut.axis)], state.units);
    return `${this.value(desk)} %`;
  }

  private content(desk: Desk, tray: Tray): HTMLElement[] {
    switch (tray) {
      case "views":
        return this.views(desk);
      case "apart":
        return this.apart(desk);
      case "cut":
        return this.cut(desk);
      case "measure":
        return this.measuring(desk);
      case "":
        return [];
    }
  }

  private views(desk: Desk): HTMLElement[] {
    const { sight } = desk.state;
    const lens = (parallel: boolean, name: string): HTMLElement =>
      h(
        "button",
        {
          type: "button",
          "data-key": name,
          "aria-pressed": String(sight.parallel === parallel),
          onclick: () => desk.change({ sight: { ...sight, parallel } }),
        },
        name,
      );
    return [
      h(
        "div",
        { class: "actions", role: "group", "aria-label": "Look from" },
        ...VIEWS.map(([name, yaw, pitch]) =>
          h("button", { type: "button", "data-key": name, onclick: () => this.bench().view(yaw, pitch) }, name),
        ),
      ),
      h("div", { class: "actions", role: "group", "aria-label": "How depth is shown" }, lens(false, "Perspective"), lens(true, "Parallel")),
      h("p", { class: "soft" }, "Drag to turn, drag with two fingers or the right button to move, pinch or wheel to come nearer."),
      h("p", { class: "soft keys" }, KEYS),
    ];
  }

  private apart(desk: Desk): HTMLElement[] {
    if (desk.state.focus.kind === "joint" || desk.state.focus.kind === "step") return [openSlider(desk, "How far apart")];
    const slide = (event: Event): void => desk.change({ apart: Number((event.target as HTMLInputElement).value) / 100 });
    return [
      h(
        "label",
        { class: "slide" },
        h("span", {}, "Pull apart"),
        h("input", { type: "range", min: 0, max: 100, step: 1, value: this.value(desk), oninput: slide, "data-key": "apart" }),
        h("output", {}, this.words(desk)),
      ),
      h(
        "div",
        { class: "actions" },
        h("button", { type: "button", "data-key": "together", onclick: () => desk.change({ apart: 0 }) }, "Together"),
        h(
          "button",
          {
            type: "button",
            "data-key": "fully",
            onclick: () => {
              desk.change({ apart: 1 });
              desk.fit();
            },
          },
          "Fully apart",
        ),
      ),
    ];
  }

  private firstCut(): Cut {
    const { low, high } = this.bench().room;
    return { axis: "y", mm: (low[1] + high[1]) / 2, beyond: false };
  }

  private cut(desk: Desk): HTMLElement[] {
    const cut = desk.state.cut ?? this.firstCut();
    const { low, high } = this.bench().room;
    const k = axisIndex(cut.axis);
    const [, , far, near] = AXES[k]!;
    const slide = (event: Event): void => desk.change({ cut: { ...cut, mm: Number((event.target as HTMLInputElement).value) } });
    const across = (axis: Axis): void => {
      const n = axisIndex(axis);
      desk.change({ cut: { axis, mm: (low[n] + high[n]) / 2, beyond: axis !== "y" } });
    };
    return [
      h(
        "div",
        { class: "actions", role: "group", "aria-label": "Cut across" },
        ...AXES.map(([axis, name]) =>
          h(
            "button",
            {
              type: "button",
              "data-key": name,
              "aria-pressed": String(!!desk.state.cut && cut.axis === axis),
              onclick: () => across(axis),
            },
            name,
          ),
        ),
        h(
          "button",
          {
            type: "button",
            "data-key": "side",
            disabled: !desk.state.cut,
            onclick: () => desk.change({ cut: { ...cut, beyond: !cut.beyond } }),
          },
          "Other side",
        ),
        h(
          "button",
          { type: "button", "data-key": "none", disabled: !desk.state.cut, onclick: () => desk.change({ cut: null, tray: "" }) },
          "No cut",
        ),
      ),
      h(
        "label",
        { class: "slide" },
        h("span", {}, `From the ${near}; the ${cut.beyond ? far : near} is taken away`),
        h("input", { type: "range", min: low[k], max: high[k], step: "any", value: cut.mm, oninput: slide, "data-key": "at" }),
        h("output", {}, desk.state.cut ? this.words(desk) : ""),
      ),
    ];
  }

  private measuring(desk: Desk): HTMLElement[] {
    const { taken, measure } = this.bench();
    const { units } = desk.state;
    const ask =
      taken.length === 0
        ? "Touch a corner, an edge or a face."
        : taken.length === 1
          ? `Took ${taken[0]}. Touch another to measure to it.`
          : "";
    return [
      ...(ask ? [h("p", {}, ask)] : []),
      ...(measure
        ? [
            h(
              "p",
              { class: "result" },
              h("span", { class: "big figure" }, measured(measure.mm, units)),
              h("span", { class: "soft figure" }, ` ${onTheRule(measure.mm, units)} `),
              h("span", {}, measure.what),
            ),
            h(
              "p",
              { class: "soft figure" },
              ["width", "depth", "height"].map((name, k) => `${name} ${measured(along(measure)[k]!, units)}`).join(" · ") +
                (measure.degrees === null ? "" : ` · ${measure.degrees.toFixed(2)}°`),
            ),
          ]
        : []),
      ...(taken.length
        ? [
            h(
              "div",
              { class: "actions" },
              h("button", { type: "button", "data-key": "again", onclick: () => this.bench().clear() }, "Measure again"),
            ),
          ]
        : []),
    ];
  }

  private buttons(): HTMLButtonElement[] {
    return Array.from(document.querySelectorAll<HTMLButtonElement>("#rail button[data-tray]"));
  }
}
