// One finding: what is wrong, why it matters, what to change, and the way to the next.
import type { Desk } from "./desk";
import { h } from "./dom";
import { partButton } from "./joint_leaf";
import type { Finding } from "./report";
import { length } from "./units";
import { SIGNS } from "./words";
import { placeWords } from "./why";

export function findingLeaf(desk: Desk, finding: Finding, index: number): HTMLElement[] {
  const { report, byName } = desk.model;
  const lap = report.overlaps.find((one) => one.name === finding.overlap);
  const count = report.findings.length;
  const to = (by: number) => (): void => desk.go({ kind: "finding", index: (index + by + count) % count });
  const parts = finding.parts.filter((name) => byName.has(name));
  return [
    h("p", { class: `sign ${finding.severity} big` }, SIGNS[finding.severity].join(" ")),
    h("p", { class: "message" }, finding.message),
    ...(finding.waived ? [h("p", {}, `Waived: ${finding.waived}`)] : []),
    ...(lap
      ? [h("p", { class: "fit" }, `Both claim this wood, up to ${length(lap.depth_mm, desk.state.units)} deep: hatched in the model.`)]
      : []),
    ...(finding.change ? [h("h3", {}, "What to change"), h("p", {}, finding.change)] : []),
    ...(finding.why ? [h("h3", {}, "Why it matters"), h("p", {}, finding.why)] : []),
    ...(finding.source ? [h("p", { class: "soft" }, `Source: ${finding.source}`)] : []),
    ...(parts.length ? [h("h3", {}, "Parts"), h("div", { class: "actions names" }, ...parts.map((name) => partButton(desk, name)))] : []),
    ...(finding.joint && report.joints.some((joint) => joint.id === finding.joint)
      ? [
          h("h3", {}, "Joint"),
          h(
            "div",
            { class: "actions names" },
            h("button", { type: "button", onclick: () => desk.go({ kind: "joint", id: finding.joint }) }, finding.joint),
          ),
        ]
      : []),
    ...(finding.places.length
      ? [
          h("h3", {}, "In the spec"),
          h(
            "ul",
            { class: "plain" },
            ...finding.places.map((place) => h("li", {}, placeWords(place) + (place.label ? `: ${place.label}` : ""))),
          ),
        ]
      : []),
    ...(count > 1
      ? [
          h(
            "div",
            { class: "actions between" },
            h("button", { type: "button", "data-key": "before", onclick: to(-1) }, "Finding before"),
            h("button", { type: "button", "data-key": "after", onclick: to(1) }, "Next finding"),
          ),
        ]
      : []),
    h("p", { class: "soft" }, finding.id),
  ];
}
