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
        [...alike(bought)].map(([label, kin]) => (kin.length > 1 ? kinRow(desk, label, kin) : bodyRow(desk, kin[0]!))),
      ),
    );
  return out;
}

/** What is bought alike, under its label. */
function alike(bodies: readonly Body[]): Map<string, Body[]> {
  const kinds = new Map<string, Body[]>();
  for (const body of bodies) kinds.set(body.hardware!.label, [...(kinds.get(body.hardware!.label) ?? []), body]);
  return kinds;
}

/** Equal fittings as one row: hidden, singled out and opened as a whole. */
function kinRow(desk: Desk, label: string, kin: readonly Body[]): HTMLElement {
  const { hidden, unfolded } = desk.state;
  const away = kin.filter((body) => hidden.has(body.name)).length;
  const open = unfolded.has(label);
  const joints = new Set(kin.map((body) => body.hardware!.joint)).size;
  const others = desk.model.bodies.filter((body) => !kin.includes(body)).map((body) => body.name);
  const alone = !away && others.every((name) => hidden.has(name));
  const box = h("input", {
    type: "checkbox",
    checked: !away,
    "data-key": `show all ${label}`,
    "aria-label": `Show all ${kin.length}: ${label}`,
    onchange: () => {
      const next = new Set(hidden);
      for (const { name } of kin) away ? next.delete(name) : next.add(name);
      desk.change({ hidden: next });
      desk.say(`${kin.length} × ${label} ${away ? "shown" : "hidden"}`);
    },
  });
  box.indeterminate = away > 0 && away < kin.length;
  const single = (): void => {
    desk.change({ hidden: alone ? new Set() : new Set(others) });
    desk.fit();
    desk.say(alone ? "All parts shown" : `Only ${kin.length} × ${label} shown`);
  };
  const fold = (): void => {
    const next = new Set(unfolded);
    if (!next.delete(label)) next.add(label);
    desk.change({ unfolded: next });
  };
  const worst = kin.map((body) => worstOf(desk, body)).find((finding) => finding);
  const row = h(
    "div",
    { class: away === kin.length ? "row away" : "row" },
    h("label", { class: "shown" }, box),
    h(
      "button",
      { class: "item", type: "button", "data-key": `kin ${label}`, "aria-expanded": String(open), onclick: fold },
      h("span", { class: "name" }, label, signOf(worst)),
      h(
        "span",
        { class: "figure soft" },
        `${plural(kin.length, "piece")} in ${plural(joints, "joint")} `,
        h("span", { class: "ask" }, open ? "close" : "list"),
      ),
    ),
    h(
      "button",
      { type: "button", "aria-pressed": String(alone), "aria-label": `Only ${label}`, "data-key": `only ${label}`, onclick: single },
      "Only",
    ),
  );
  return h("li", { class: "kin" }, row, open ? h("ul", { class: "rows" }, ...kin.map((body) => bodyRow(desk, body, true))) : null);
}

const worstOf = (desk: Desk, body: Body): Finding | undefined =>
  desk.model.report.findings.find((finding) => !finding.waived && finding.parts.includes(body.name));

const signOf = (worst: Finding | undefined): HTMLElement | null =>
  worst ? h("span", { class: `sign ${worst.severity}` }, ` ${SIGNS[worst.severity][0]} ${SIGNS[worst.severity][1].toLowerCase()}`) : null;

function bodyRow(desk: Desk, body: Body, short = false): HTMLElement {
  const { units, hidden } = desk.state;
  const shown = !hidden.has(body.name);
  const { part, hardware } = body;
  const size = part
    ? [part.length_mm, part.width_mm, part.thickness_mm].map((mm) => length(mm, units).replace(/ (mm|in)$/, "")).join(" × ")
    : hardware!.label;
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
        signOf(worstOf(desk, body)),
      ),
      short ? null : h("span", { class: "figure soft" }, size),
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
