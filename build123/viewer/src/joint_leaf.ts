// One joint: its two parts, what each fit wants and what was measured, and its own sizes.
import type { Desk } from "./desk";
import { h } from "./dom";
import type { Joint } from "./report";
import { length } from "./units";
import { fitHolds, found, reasonValue, wanted, wayWords } from "./words";
import { placeWords, whyTree } from "./why";

export function jointLeaf(desk: Desk, joint: Joint): HTMLElement[] {
  const { report } = desk.model;
  const { units } = desk.state;
  const odds = report.first_fit?.fits.filter((fit) => fit.joint === joint.id) ?? [];
  return [
    h("div", { class: "actions" }, partButton(desk, joint.member), partButton(desk, joint.receiver)),
    openSlider(desk, "How far the joint is opened"),
    h("p", { class: "soft" }, joint.opens ? `${joint.member} comes out ${wayWords(joint.opens)}.` : "It does not open by a straight move."),
    ...(joint.fits.length ? [h("h3", {}, "Fits"), ...joint.fits.map((fit) => fitCard(desk, fit))] : []),
    ...(joint.sizes.length
      ? [
          h("h3", {}, "Its sizes"),
          ...joint.sizes.map((size) =>
            h(
              "details",
              { class: "size" },
              h(
                "summary",
                { "data-key": `why ${size.name}` },
                h("span", { class: "what" }, size.name),
                h("span", { class: "figure" }, reasonValue(report.reasons[size.why]!, units)),
                size.default ? h("span", { class: "soft" }, "default") : null,
                h("span", { class: "ask" }, "why"),
              ),
              whyTree(report, size.why, units),
            ),
          ),
        ]
      : []),
    ...(odds.length ? [h("h3", {}, "At the first dry fit"), ...odds.map((one) => h("p", {}, `${one.what}: ${inHundred(one.odds)}`))] : []),
    ...(joint.place ? [h("p", { class: "soft" }, placeWords(joint.place))] : []),
  ];
}

function fitCard(desk: Desk, fit: Joint["fits"][number]): HTMLElement {
  const { units } = desk.state;
  const good = fitHolds(fit);
  return h(
    "div",
    { class: "fit" },
    h("p", { class: "name" }, fit.what, fit.fit ? h("span", { class: "soft" }, ` (${fit.fit} fit)`) : null),
    h("p", { class: "big figure" }, found(fit, units)),
    h(
      "p",
      {},
      h("span", { class: good ? "sign good" : "sign error" }, good ? "✓ as wanted" : "✕ not as wanted"),
      h("span", { class: "soft" }, ` ${wanted(fit, units)}`),
    ),
    h(
      "p",
      { class: "soft" },
      [fit.nominal_mm ? `drawn as ${length(fit.nominal_mm, units)}` : "", fit.glued ? "glued" : ""].filter(Boolean).join(", "),
    ),
  );
}

export const partButton = (desk: Desk, name: string): HTMLElement =>
  h("button", { type: "button", "data-key": `part ${name}`, onclick: () => desk.go({ kind: "part", name }) }, name);

export function openSlider(desk: Desk, label: string): HTMLElement {
  const slide = (event: Event): void => desk.change({ open: Number((event.target as HTMLInputElement).value) / 100 });
  return h(
    "label",
    { class: "slide" },
    h("span", {}, label),
    h("input", { type: "range", min: 0, max: 100, step: 1, value: Math.round(desk.state.open * 100), oninput: slide, "data-key": "open" }),
  );
}

function inHundred(odds: number): string {
  if (odds > 0.995) return "as good as certain";
  return `${Math.round(odds * 100)} in 100`;
}
