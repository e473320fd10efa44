// Lengths as a bench reads them.

export type Units = "mm" | "in";

const MM_PER_IN = 25.4;
/** The finest stroke that is shown as a fraction where a length lies on it, and the one that others are read against. */
const FINEST = 64;
const RULE = 32;
const ON_A_STROKE_MM = 1e-6;

/** "752 mm", "32 9/16 in", "0.715 in": a fraction where the length lies on a stroke of the rule, else the exact decimal. */
export function length(mm: number, units: Units): string {
  if (units === "mm") return `${decimals(mm, 3)} mm`;
  const strokes = Math.round((mm / MM_PER_IN) * FINEST);
  if (Math.abs((strokes * MM_PER_IN) / FINEST - mm) <= ON_A_STROKE_MM) return `${mixed(strokes, FINEST)} in`;
  return `${decimals(mm / MM_PER_IN, 4)} in`;
}

/** As measured on meshes, where the last thousandth of a millimetre means nothing. */
export function measured(mm: number, units: Units): string {
  const strokes = Math.round((mm / MM_PER_IN) * FINEST);
  const stroke = (strokes * MM_PER_IN) / FINEST;
  if (units === "in" && Math.abs(stroke - mm) <= 0.0015) return length(stroke, units);
  return units === "mm" ? `${decimals(mm, 2)} mm` : `${decimals(mm / MM_PER_IN, 4)} in`;
}

/** Beside a decimal in inches, where it lies on a rule: "33 1/16 + 0.0076"; empty for mm and for lengths on a stroke. */
export function onTheRule(mm: number, units: Units): string {
  if (units === "mm" || mm < MM_PER_IN / 2 || length(mm, units).includes("/")) return "";
  const strokes = Math.floor((mm / MM_PER_IN) * RULE + 1e-6);
  const over = mm / MM_PER_IN - strokes / RULE;
  return over < 5e-5 ? "" : `${mixed(strokes, RULE)} + ${decimals(over, 4)}`;
}

export function decimals(value: number, places: number): string {
  const text = Math.abs(value)
    .toFixed(places)
    .replace(/\.?0+$/, places ? "" : "$&");
  return (value < 0 && Number(text) !== 0 ? "-" : "") + text;
}

function mixed(strokes: number, of: number): string {
  let [whole, over, below] = [Math.floor(Math.abs(strokes) / of), Math.abs(strokes) % of, of];
  while (over && over % 2 === 0) [over, below] = [over / 2, below / 2];
  const words = [whole || !over ? String(whole) : "", over ? `${over}/${below}` : ""];
  return (strokes < 0 ? "-" : "") + words.filter(Boolean).join(" ");
}
