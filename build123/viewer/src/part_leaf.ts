// One part: what to cut, out of what, how it joins, its sheet, and where each size came from.
import type { Desk } from "./desk";
import { h } from "./dom";
import { jointRow } from "./lists";
import type { Body } from "./model";
import type { Part } from "./report";
import { length, onTheRule } from "./units";
import { listed, SIGNS } from "./words";
import { placeWords, whyTree } from "./why";

export function partLeaf(desk: Desk, body: Body): HTMLElement[] {
  const { model } = desk;
  const joints = model.report.joints.filter(
    (joint) => joint.member === body.name || joint.receiver === body.name || joint.id === body.hardware?.joint,
  );
  const findings = model.report.findings
    .map((finding, index) => ({ finding, index }))
    .filter(({ finding }) => finding.parts.includes(body.name));
  return [
    actions(desk, body),
    ...(body.part ? cutting(desk, body.part) : [h("p", {}, `Bought: ${body.hardware!.label}`)]),
    ...(findings.length
      ? [
          h("h3", {}, "What the dry fit says"),
          h(
            "ul",
            { class: "rows" },
            ...findings.map(({ finding, index }) =>
              h(
                "li",
                { class: "row" },
                h(
                  "button",
                  { class: "item", type: "button", "data-key": `finding ${index}`, onclick: () => desk.go({ kind: "finding", index }) },
                  h(
                    "span",
                    { class: "name" },
                    h("span", { class: `sign ${finding.severity}` }, SIGNS[finding.severity].join(" ")),
                    ` ${finding.message}`,
                  ),
                ),
              ),
            ),
          ),
        ]
      : []),
    h("h3", {}, "Joints", h("span", { class: "soft" }, ` ${joints.length}`)),
    h("ul", { class: "rows" }, ...joints.map((joint) => jointRow(desk, joint, false))),
    ...(body.part ? sheet(desk, body.part) : []),
  ];
}

function actions(desk: Desk, body: Body): HTMLElement {
  const { hidden } = desk.state;
  const others = desk.model.bodies.filter((one) => one !== body).map((one) => one.name);
  const alone = others.every((name) => hidden.has(name)) && !hidden.has(body.name);
  const away = hidden.has(body.name);
  const flip = (): void => {
    const next = new Set(hidden);
    if (!next.delete(body.name)) next.add(body.name);
    desk.change({ hidden: next });
  };
  const single = (): void => {
    desk.change({ hidden: alone ? new Set() : new Set(others) });
    desk.fit();
    desk.say(alone ? "All parts shown" : `Only ${body.name} shown`);
  };
  return h(
    "div",
    { class: "actions" },
    h("button", { type: "button", "aria-pressed": String(alone), "data-key": "only", onclick: single }, "Only this"),
    h("button", { type: "button", "aria-pressed": String(away), "data-key": "hide", onclick: flip }, "Hide"),
    h("button", { type: "button", "data-key": "near", onclick: () => desk.fit([body.name]) }, "Come near"),
  );
}

function cutting(desk: Desk, part: Part): HTMLElement[] {
  const { units } = desk.state;
  const { report, stocks } = desk.model;
  const stock = stocks.get(part.stock);
  const alike = report.parts
    .filter((one) => one.shape_key === part.shape_key && one.stock === part.stock && one !== part)
    .map((one) => one.name);
  const sizes = [
    ["length", part.length_mm],
    ["width", part.width_mm],
    ["thickness", part.thickness_mm],
  ] as const;
  const more = Object.keys(part.why).filter((name) => !sizes.some(([size]) => size === name));
  const facts: [string, string][] = [
    ["Stock", stock ? `${stock.name}: ${stock.material} ${stock.kind}, ${length(stock.thickness_mm, units)} measured` : part.stock],
    ["Grain", part.grain ? `along the length, ${grainWords(part.grain)}` : "none to mind"],
    ["Show face", part.looks[part.show] ?? part.show],
    ...(part.mass_kg === null ? [] : ([["Weight", `${part.mass_kg.toFixed(2)} kg`]] as [string, string][])),
    ...(alike.length ? ([["Alike", listed(alike)]] as [string, string][]) : []),
    ...(part.opposite_hand ? ([["Opposite hand", part.opposite_hand]] as [string, string][]) : []),
    ...(part.place ? ([["In the spec", placeWords(part.place)]] as [string, string][]) : []),
  ];
  return [
    h("h3", {}, "Finished size"),
    ...sizes.map(([name, mm]) => sizeRow(desk, part, name, mm)),
    ...more.map((name) => sizeRow(desk, part, name, report.reasons[part.why[name]!]!.value)),
    h("dl", { class: "facts" }, ...facts.flatMap(([name, words]) => [h("dt", {}, name), h("dd", {}, words)])),
  ];
}

function sizeRow(desk: Desk, part: Part, name: string, mm: number): HTMLElement {
  const { units } = desk.state;
  const rule = onTheRule(mm, units);
  const why = part.why[name];
  const head = [
    h("span", { class: "what" }, name),
    h("span", { class: "big figure" }, length(mm, units)),
    rule ? h("span", { class: "soft figure rule" }, rule) : null,
  ];
  if (why === undefined) return h("div", { class: "size" }, ...head);
  return h(
    "details",
    { class: "size" },
    h("summary", { "data-key": `why ${name}` }, ...head, h("span", { class: "ask" }, "why")),
    whyTree(desk.model.report, why, units),
  );
}

function sheet(desk: Desk, part: Part): HTMLElement[] {
  const address = desk.sheet(part.files.drawing);
  if (!address) return [];
  const picture = h("img", { src: address, alt: `Sheet of ${part.name}` });
  const open = (): void => {
    const close = h("button", { type: "button", onclick: () => whole.close() }, "Close");
    const nearer = h(
      "button",
      {
        type: "button",
        "aria-pressed": "false",
        onclick: () => nearer.setAttribute("aria-pressed", String(whole.classList.toggle("near"))),
      },
      "Larger",
    );
    const view = h(
      "div",
      { class: "scroll", tabindex: 0, role: "group", "aria-label": "The sheet, to scroll" },
      h("img", { src: address, alt: `Sheet of ${part.name}` }),
    );
    const whole: HTMLDialogElement = h(
      "dialog",
      { class: "sheet", "aria-label": `Sheet of ${part.name}` },
      h("div", { class: "actions" }, nearer, close),
      view,
    );
    whole.addEventListener("close", () => whole.remove());
    document.body.append(whole);
    whole.showModal();
  };
  return [
    h("h3", {}, "Its drawing"),
    h(
      "button",
      { type: "button", class: "drawing", "aria-label": `Open the sheet of ${part.name}`, "data-key": "sheet", onclick: open },
      picture,
    ),
  ];
}

function grainWords(grain: readonly number[]): string {
  const words = ["left to right", "front to back", "upright"];
  const k = [0, 1, 2].find((axis) => Math.abs(grain[axis]!) > 0.99);
  return k === undefined ? "at a slant" : words[k]!;
}
