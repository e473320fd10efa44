// How the report is said: fits, directions, severities, reasons.
import type { Fit, Finding, Joint, Reason, Report, Severity, Step, Vec } from "./report";
import { decimals, length, measured, type Units } from "./units";

/** A sign and a word for each severity: neither needs its colour. */
export const SIGNS: Readonly<Record<Severity, readonly [string, string]>> = {
  error: ["✕", "Error"],
  warning: ["▲", "Warning"],
  note: ["●", "Note"],
};

const ROUNDING_MM = 1e-6;
/** Closer than this two faces touch (as the checks measure). */
const TOUCHING_MM = 1e-3;

export function fitHolds(fit: Fit): boolean {
  return fit.measured !== null && fit.measured.mm >= fit.low_mm - ROUNDING_MM && fit.measured.mm <= fit.high_mm + ROUNDING_MM;
}

export const jointHolds = (joint: Joint): boolean => joint.fits.every(fitHolds);

/** "0.05 to 0.25 mm": what a fit wants. */
export function wanted(fit: Fit, units: Units): string {
  if (Math.abs(fit.low_mm + fit.high_mm) < ROUNDING_MM && fit.high_mm < 0.05) return "touching";
  const high = length(fit.high_mm, units);
  return `${length(fit.low_mm, units).replace(/ (mm|in)$/, "")} to ${high}`;
}

export function found(fit: Fit, units: Units): string {
  if (fit.measured === null) return "nothing there";
  return fit.kind === "seat" && Math.abs(fit.measured.mm) < TOUCHING_MM ? "touching" : length(fit.measured.mm, units);
}

/** "down", "to the left": the way a move goes. */
export function wayWords(d: Vec): string {
  const names: readonly [string, string][] = [
    ["to the left", "to the right"],
    ["to the front", "to the back"],
    ["down", "up"],
  ];
  const k = [0, 1, 2].find((axis) => Math.abs(d[axis]!) > 0.999);
  return k === undefined ? "at a slant" : names[k]![d[k]! > 0 ? 1 : 0];
}

/** What a finding measured, in a word, for its mark in the model: "gap 1.2 mm". */
export function inAWord(finding: Finding, units: Units): string {
  const named: readonly [string, string][] = [
    ["depth_mm", "overlap"],
    ["gap_mm", "gap"],
    ["clearance_mm", "play"],
    ["room_mm", "room"],
    ["left_mm", "left"],
    ["wall_mm", "wood left"],
  ];
  const [key, word] = named.find(([name]) => typeof finding.numbers[name] === "number") ?? [];
  return key ? `${word} ${measured(finding.numbers[key]!, units)}` : "";
}

const MOST_NAMES = 6;

/** Names in a row; many are cut short with their number. */
export function listed(names: readonly string[]): string {
  if (names.length > MOST_NAMES + 1) return `${names.slice(0, MOST_NAMES).join(", ")} and ${names.length - MOST_NAMES} more`;
  return names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

export function stepWords(step: Step, report: Report): string {
  const bought = new Set(report.hardware.map((thing) => thing.name));
  const parts = step.bodies.filter((name) => !bought.has(name));
  const things = step.bodies.length - parts.length;
  const what = listed(parts) + (things ? ` with ${things} ${things === 1 ? "fitting" : "fittings"}` : "");
  if (!step.direction) return `Start with ${what}`;
  return `Bring ${what} ${wayWords(step.direction)}${step.onto.length ? ` onto ${listed(step.onto)}` : ""}`;
}

export function reasonValue(reason: Reason, units: Units): string {
  if (reason.kind === "length") return length(reason.value, units);
  return reason.kind === "angle" ? `${decimals(reason.value, 3)}°` : decimals(reason.value, 4);
}

/** The sentence of a reason with the values of its inputs put in. */
export function reasonHow(reason: Reason, reasons: readonly Reason[], units: Units): string {
  return reason.how.replace(/\{(\d+)\}/g, (whole, n: string) => {
    const cause = reasons[reason.of[Number(n)] ?? -1];
    return cause ? reasonValue(cause, units) : whole;
  });
}

export const verdict = (report: Report): string => (report.dry_fit === "failed" ? "Does not go together" : "Goes together");

export const live = (findings: readonly Finding[]): Finding[] => findings.filter((one) => !one.waived);
