// The paper beside the model: search, the four lists, and the leaf of what is in focus.
import type { Desk } from "./desk";
import { byId, h, plural, refill } from "./dom";
import { findingLeaf } from "./finding_leaf";
import { jointLeaf } from "./joint_leaf";
import { findingsList, jointsList, partsList } from "./lists";
import { orderList, stepLeaf } from "./order_leaf";
import { partLeaf } from "./part_leaf";
import { PIECE, type Tab, tabOf } from "./state";
import { live } from "./words";

const TABS: readonly (readonly [Tab, string])[] = [
  ["parts", "Parts"],
  ["joints", "Joints"],
  ["findings", "Findings"],
  ["order", "Order"],
];

export class Paper {
  private readonly leaf = byId("leaf");
  private readonly seek = byId<HTMLInputElement>("seek");
  private last = "";

  constructor(private readonly desk: () => Desk) {
    this.seek.addEventListener("input", () => desk().change({ query: this.seek.value, focus: PIECE }));
    const list = byId("tabs");
    list.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!by) return;
      const at = TABS.findIndex(([tab]) => tab === desk().state.tab);
      const [next] = TABS[(at + by + TABS.length) % TABS.length]!;
      desk().change({ tab: next, focus: PIECE, query: "" });
      byId(`tab-${next}`).focus();
    });
  }

  show(): void {
    const desk = this.desk();
    const { state, model } = desk;
    if (document.activeElement !== this.seek) this.seek.value = state.query;
    const counts: Record<Tab, number | null> = {
      parts: model.report.parts.length,
      joints: model.report.joints.length,
      findings: live(model.report.findings).length,
      order: null,
    };
    refill(
      byId("tabs"),
      ...TABS.map(([tab, name]) => {
        const chosen = tab === state.tab;
        const pick = (): void => desk.change({ tab, focus: PIECE, query: "" });
        return h(
          "button",
          {
            type: "button",
            role: "tab",
            id: `tab-${tab}`,
            "data-key": `tab ${tab}`,
            "aria-selected": String(chosen),
            "aria-controls": "leaf",
            tabindex: chosen ? 0 : -1,
            onclick: pick,
          },
          name,
          counts[tab] === null ? null : h("span", { class: "count" }, ` ${counts[tab]}`),
        );
      }),
    );
    this.leaf.setAttribute("aria-labelledby", `tab-${state.tab}`);
    const key = JSON.stringify([state.focus, state.tab, state.query]);
    const turned = key !== this.last;
    const inside = this.leaf.contains(document.activeElement);
    const open = turned ? [] : Array.from(this.leaf.querySelectorAll("details"), (one) => one.open);
    refill(this.leaf, ...this.content(desk));
    this.leaf.querySelectorAll("details").forEach((one, n) => (one.open = open[n] ?? false));
    if (turned && this.last) {
      this.leaf.scrollTop = 0;
      if (inside) this.leaf.querySelector<HTMLElement>("h2")?.focus({ preventScroll: true });
    }
    this.last = key;
  }

  private content(desk: Desk): HTMLElement[] {
    const { state, model } = desk;
    const { focus } = state;
    switch (focus.kind) {
      case "part": {
        const body = model.byName.get(focus.name);
        return body ? [...head(desk, body.name, body.part ? "part" : "fitting"), ...partLeaf(desk, body)] : this.lists(desk);
      }
      case "joint": {
        const joint = model.report.joints.find((one) => one.id === focus.id);
        return joint ? [...head(desk, joint.id, "joint"), ...jointLeaf(desk, joint)] : this.lists(desk);
      }
      case "finding": {
        const finding = model.report.findings[focus.index];
        return finding
          ? [...head(desk, `Finding ${focus.index + 1} of ${model.report.findings.length}`, ""), ...findingLeaf(desk, finding, focus.index)]
          : this.lists(desk);
      }
      case "step": {
        const step = model.report.glue_up?.steps.find((one) => one.number === focus.number);
        return step
          ? [...head(desk, `Step ${step.number} of ${model.report.glue_up!.steps.length}`, ""), ...stepLeaf(desk, step)]
          : this.lists(desk);
      }
      case "piece":
        return this.lists(desk);
    }
  }

  private lists(desk: Desk): HTMLElement[] {
    const { state, model } = desk;
    const words = state.query.trim().toLowerCase().split(/\s+/).filter(Boolean);
    if (words.length) return this.results(desk, (text) => words.every((word) => text.toLowerCase().includes(word)));
    switch (state.tab) {
      case "parts":
        return [...(state.hidden.size ? [allShown(desk)] : []), ...partsList(desk)];
      case "joints":
        return jointsList(desk);
      case "findings":
        return [
          ...(model.report.findings.length
            ? findingsList(desk)
            : [h("p", { class: "message" }, h("span", { class: "sign good" }, "✓"), " The dry fit found nothing.")]),
          ...(model.report.first_fit && model.report.dry_fit === "passed"
            ? [h("h3", {}, "Estimate"), ...sentences(model.report.first_fit.summary)]
            : []),
        ];
      case "order":
        return orderList(desk);
    }
  }

  private results(desk: Desk, fits: (text: string) => boolean): HTMLElement[] {
    const lists = [
      ...partsList(desk, (name) => {
        const body = desk.model.byName.get(name)!;
        return fits(`${name} ${body.part?.stock ?? body.hardware?.label ?? ""}`);
      }),
      ...jointsList(desk, (joint) => fits(joint.id)),
      ...findingsList(desk, (finding) => fits(`${finding.id} ${finding.severity} ${finding.message} ${finding.parts.join(" ")}`)),
    ];
    return lists.length ? lists : [h("p", {}, "Nothing goes by that name.")];
  }
}

function head(desk: Desk, title: string, kind: string): HTMLElement[] {
  const tab = tabOf(desk.state.focus, desk.state.tab);
  const back = (): void => {
    desk.change({ focus: PIECE, tab });
    byId(`tab-${tab}`).focus({ preventScroll: true });
  };
  return [
    h(
      "div",
      { class: "back" },
      h("button", { type: "button", class: "link", "data-key": "back", onclick: back }, `← All ${tab === "order" ? "steps" : tab}`),
      h("span", { class: "soft" }, kind),
    ),
    h("h2", { tabindex: -1 }, title),
  ];
}

function allShown(desk: Desk): HTMLElement {
  const all = (): void => {
    desk.change({ hidden: new Set() });
    desk.fit();
    desk.say("All parts shown");
  };
  const parts = desk.model.report.parts.filter((part) => desk.state.hidden.has(part.name)).length;
  const bought = desk.state.hidden.size - parts;
  const said = [parts ? plural(parts, "part") : "", bought ? plural(bought, "fitting") : ""].filter(Boolean).join(" and ");
  return h(
    "div",
    { class: "actions" },
    h("button", { type: "button", "data-key": "all", onclick: all }, `Show all: ${said} hidden`),
  );
}

const sentences = (text: string): HTMLElement[] =>
  text.split("; ").map((one) => h("p", {}, `${one.charAt(0).toUpperCase()}${one.slice(1)}.`));
