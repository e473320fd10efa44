// The order of assembly, step by step.
import type { Desk } from "./desk";
import { h } from "./dom";
import { openSlider, partButton } from "./joint_leaf";
import type { Step } from "./report";
import { stepWords } from "./words";

export function orderList(desk: Desk): HTMLElement[] {
  const plan = desk.model.report.glue_up;
  if (!plan?.steps.length) return [h("p", {}, "There is no order of assembly: see the findings.")];
  const row = (step: Step): HTMLElement =>
    h(
      "li",
      { class: "row" },
      h(
        "button",
        { class: "item", type: "button", "data-key": `step ${step.number}`, onclick: () => desk.go({ kind: "step", number: step.number }) },
        h("span", { class: "name" }, `${step.number}. ${stepWords(step, desk.model.report)}`),
        step.within ? h("span", { class: "soft" }, `on its own first: sub-assembly ${step.within}`) : null,
      ),
    );
  return [
    h("p", { class: "soft" }, "Each step is one straight move, tried on the solids."),
    h("ol", { class: "rows" }, ...plan.steps.map(row)),
  ];
}

export function stepLeaf(desk: Desk, step: Step): HTMLElement[] {
  const steps = desk.model.report.glue_up!.steps;
  const at = steps.indexOf(step);
  const bought = new Set(desk.model.report.hardware.map((thing) => thing.name));
  const to = (n: number) => (): void => desk.go({ kind: "step", number: steps[n]!.number });
  return [
    h("p", { class: "message" }, stepWords(step, desk.model.report)),
    ...(step.direction ? [openSlider(desk, "How far back it stands")] : []),
    ...(step.within ? [h("p", { class: "soft" }, `Sub-assembly ${step.within} is put together on its own first.`)] : []),
    h(
      "div",
      { class: "actions between" },
      h("button", { type: "button", disabled: at === 0, "data-key": "before", onclick: to(at - 1) }, "Step before"),
      h("button", { type: "button", disabled: at === steps.length - 1, "data-key": "after", onclick: to(at + 1) }, "Next step"),
    ),
    h("h3", {}, "Parts"),
    h("div", { class: "actions names" }, ...step.bodies.filter((name) => !bought.has(name)).map((name) => partButton(desk, name))),
    ...(step.joints.length
      ? [
          h("h3", {}, "Joints that close"),
          h(
            "ul",
            { class: "plain" },
            ...step.joints.map((id) =>
              h("li", {}, h("button", { class: "link", type: "button", onclick: () => desk.go({ kind: "joint", id }) }, id)),
            ),
          ),
        ]
      : []),
  ];
}
