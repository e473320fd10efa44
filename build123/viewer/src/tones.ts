// A colour for each stock.
import type { Model } from "./model";
import type { Vec } from "./report";
import { norm, sub } from "./vec";

/** What a colour is multiplied by until it is told from those before it (as given, pale, dark, honey, red, grey), and how far apart
 * that is. */
const TONES: readonly Vec[] = [
  [1, 1, 1],
  [1.3, 1.42, 1.5],
  [0.7, 0.62, 0.58],
  [1.36, 1.2, 0.8],
  [1, 0.66, 0.6],
  [0.9, 1.12, 1.4],
];
const DISTINCT = 0.1;

/** What is bought, and has no stock. */
export const BOUGHT: Vec = [0.62, 0.62, 0.65];

/** Stocks that look alike are told apart by a lighter or darker tone. */
export function stockTones(model: Model): Map<string, Vec> {
  const tones = new Map<string, Vec>();
  for (const stock of model.report.stock) {
    let tone: Vec = stock.colour;
    for (const by of TONES) {
      tone = stock.colour.map((c, k) => Math.min(c * by[k]!, 1)) as unknown as Vec;
      if ([...tones.values()].every((other) => norm(sub(other, tone)) > DISTINCT)) break;
    }
    tones.set(stock.name, tone);
  }
  return tones;
}

export const lifted = (c: Vec, by: number): Vec => [0, 1, 2].map((k) => c[k]! + (1 - c[k]!) * by) as unknown as Vec;
