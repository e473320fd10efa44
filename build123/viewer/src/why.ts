// Where a size came from: the chain of reasons, inputs under what they make, each with its line of the spec.
import { h } from "./dom";
import type { Place, Report } from "./report";
import type { Units } from "./units";
import { reasonHow, reasonValue } from "./words";

export function whyTree(report: Report, index: number, units: Units): HTMLElement {
  const seen = new Set<number>();
  return h("ul", { class: "why" }, branch(report, index, units, seen));
}

function branch(report: Report, index: number, units: Units, seen: Set<number>): HTMLElement {
  const reason = report.reasons[index]!;
  const value = reasonValue(reason, units);
  const how = reasonHow(reason, report.reasons, units);
  const again = seen.has(index) && reason.of.length > 0;
  seen.add(index);
  const causes = again
    ? []
    : reason.of.filter((n) => report.reasons[n] && (report.reasons[n]!.what || report.reasons[n]!.how || report.reasons[n]!.default));
  return h(
    "li",
    {},
    h("b", {}, reason.what ? `${reason.what} ` : "", h("span", { class: "figure" }, value)),
    again ? h("span", { class: "soft" }, " (as above)") : how && how !== value ? h("span", {}, ` = ${how}`) : null,
    reason.default ? h("span", { class: "soft" }, ` default: ${reason.default}`) : null,
    reason.place ? h("span", { class: "soft" }, ` ${placeWords(reason.place)}`) : null,
    causes.length ? h("ul", {}, ...causes.map((n) => branch(report, n, units, seen))) : null,
  );
}

export const placeWords = (place: Place): string => `${place.file}, line ${place.line}`;
