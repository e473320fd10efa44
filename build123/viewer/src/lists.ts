// Lists of the paper: parts by stock, joints by kind, findings by weight.
import type { Desk } from "./desk";
import { h, plural } from "./dom";
import type { Body } from "./model";
import type { Finding, Joint } from "./report";
import { stockTones } from "./tones";
import { length } from "./units";
import { found, jointHolds, SIGNS } from "./words";

export function partsList(desk: Desk, some: (name: string) => boolean = () => true): HTMLElement[] {
  const { report } = desk.model;
  const tones = stockTones(desk.model);
  const out: HTMLElement[] = [];
  for (const stock of report.stock) {
    const members = desk.model.bodies.filter((body) => body.part?.stock === stock.name && some(body.name));
    if (!members.length) continue;
    const swatch = h("span", { class: "swatch", "aria-hidden": "true" });
    swatch.style.background = `rgb(${(tones.get(stock.name) ?? stock.colour).map((c) => Math.round(255 * c)).join(" ")})`;
    const words = `${stock.material}, ${length(stock.thickness_mm, desk.state.units)}`;
    out.push(
      group(
        stock.name,
        words,
        members.map((body) => bodyRow(desk, body)),
        swatch,
      ),
    );
  }
  const bought = desk.model.bodies.filter((body) => body.hardware && some(body.name));
  if (bought.length)
    out.push(
      group(
        "Fittings",
        plural(bought.length, "piece"),
        bought.map((body) => bodyRow(desk, body)),
      ),
    );
  return out;
}

function bodyRow(desk: Desk, body: Body): HTMLElement {
  const { units, hidden } = desk.state;
  const shown = !hidden.has(body.name);
  const { part, hardware } = body;
  const size = part
    ? [part.length_mm, part.width_mm, part.thickness_mm].map((mm) => length(mm, units).replace(/ (mm|in)$/, "")).join(" × ")
    : hardware!.label;
  const worst = desk.model.report.findings.find((finding) => !finding.waived && finding.parts.includes(body.name));
  const toggle = (): void => {
    const next = new Set(hidden);
    if (!next.delete(body.name)) next.add(body.name);
    desk.change({ hidden: next });
    desk.say(`${body.name} ${shown ? "hidden" : "shown"}`);
  };
  return h(
    "li",
    { class: shown ? "row" : "row away" },
    h(
      "label",
      { class: "shown" },
      h("input", {
        type: "checkbox",
        checked: shown,
        onchange: toggle,
        "data-key": `show ${body.name}`,
        "aria-label": `Show ${body.name}`,
      }),
    ),
    h(
      "button",
      { class: "item", type: "button", "data-key": `part ${body.name}`, onclick: () => desk.go({ kind: "part", name: body.name }) },
      h(
        "span",
        { class: "name" },
        body.name,
        worst
          ? h("span", { class: `sign ${worst.severity}` }, ` ${SIGNS[worst.severity][0]} ${SIGNS[worst.severity][1].toLowerCase()}`)
          : null,
      ),
      h("span", { class: "figure soft" }, size),
    ),
  );
}

export function jointsList(desk: Desk, some: (joint: Joint) => boolean = () => true): HTMLElement[] {
  const kinds = new Map<string, Joint[]>();
  for (const joint of desk.model.report.joints) if (some(joint)) kinds.set(joint.kind, [...(kinds.get(joint.kind) ?? []), joint]);
  return [...kinds].map(([kind, joints]) =>
    group(
      kind,
      String(joints.length),
      joints.map((joint) => jointRow(desk, joint, true)),
    ),
  );
}

export function jointRow(desk: Desk, joint: Joint, short: boolean): HTMLElement {
  const play = joint.fits.find((fit) => fit.kind === "clearance" || fit.kind === "gap") ?? joint.fits[0];
  const holds = jointHolds(joint);
  return h(
    "li",
    { class: "row" },
    h(
      "button",
      { class: "item", type: "button", "data-key": `joint ${joint.id}`, onclick: () => desk.go({ kind: "joint", id: joint.id }) },
      h("span", { class: "name" }, short ? joint.id.replace(`${joint.kind}: `, "") : joint.id),
      h(
        "span",
        { class: "soft" },
        h("span", { class: holds ? "sign good" : "sign error" }, holds ? "✓ fits" : "✕ does not fit"),
        play ? ` ${play.what}: ${found(play, desk.state.units)}` : "",
      ),
    ),
  );
}

export function findingsList(desk: Desk, some: (finding: Finding) => boolean = () => true): HTMLElement[] {
  const all = desk.model.report.findings.map((finding, index) => ({ finding, index })).filter(({ finding }) => some(finding));
  const heads = [
    ["error", "Errors"],
    ["warning", "Warnings"],
    ["note", "Notes"],
  ] as const;
  const out = heads.flatMap(([severity, title]) => {
    const mine = all.filter(({ finding }) => finding.severity === severity && !finding.waived);
    return mine.length
      ? [
          group(
            title,
            String(mine.length),
            mine.map(({ finding, index }) => findingRow(desk, finding, index)),
          ),
        ]
      : [];
  });
  const waived = all.filter(({ finding }) => finding.waived);
  return waived.length
    ? [
        ...out,
        group(
          "Waived",
          String(waived.length),
          waived.map(({ finding, index }) => findingRow(desk, finding, index)),
        ),
      ]
    : out;
}

export function findingRow(desk: Desk, finding: Finding, index: number): HTMLElement {
  const [sign, word] = SIGNS[finding.severity];
  return h(
    "li",
    { class: "row" },
    h(
      "button",
      { class: "item", type: "button", "data-key": `finding ${index}`, onclick: () => desk.go({ kind: "finding", index }) },
      h("span", { class: "name" }, h("span", { class: `sign ${finding.severity}` }, `${sign} ${word}`), ` ${finding.message}`),
    ),
  );
}

export function group(title: string, words: string, rows: HTMLElement[], before: HTMLElement | null = null): HTMLElement {
  return h(
    "section",
    { class: "group" },
    h("h3", {}, before, title, h("span", { class: "soft" }, ` ${words}`)),
    h("ul", { class: "rows" }, ...rows),
  );
}
