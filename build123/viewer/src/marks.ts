// Words that stand in the model: the chosen part, a measure, the place of a finding. They are texts over the picture.
import { byId, h } from "./dom";
import type { Vec } from "./report";
import type { Rig } from "./rig";

/** How far over its place a mark stands; farther where the place itself is to be seen. */
const NEAR_PX = 14;
const FREE_PX = 30;

export interface Mark {
  readonly at: Vec;
  readonly text: string;
  readonly kind: "chosen" | "measure" | "error" | "warning" | "note" | "step";
}

const over = (mark: Mark): number => (mark.kind === "chosen" || mark.kind === "step" ? NEAR_PX : FREE_PX);

export class Marks {
  private readonly place = byId("marks");
  private shown: { mark: Mark; element: HTMLElement }[] = [];

  set(marks: readonly Mark[]): void {
    this.shown = marks.map((mark) => ({ mark, element: h("div", { class: `mark ${mark.kind}` }, mark.text) }));
    this.place.replaceChildren(...this.shown.map(({ element }) => element));
  }

  /** After every move of the eye. Marks stay within the window and off one another, so that what they say can be read. */
  follow(rig: Rig): void {
    const placed: { x: number; y: number; width: number; height: number }[] = [];
    const sizes = this.shown.map(({ element }) => [element.offsetWidth, element.offsetHeight] as const);
    this.shown.forEach(({ mark, element }, n) => {
      const pixel = rig.pixel(mark.at);
      element.hidden = !pixel;
      if (!pixel) return;
      const [width, height] = sizes[n]!;
      // A measure stands beside its line, everything else over its place.
      const aside = mark.kind === "measure" ? { x: width / 2 + NEAR_PX, y: height / 2 } : { x: 0, y: -over(mark) };
      const x = Math.min(Math.max(pixel.x + aside.x, width / 2 + 6), rig.width - width / 2 - 6);
      let y = Math.min(Math.max(pixel.y + aside.y, height + 6), rig.height - 6);
      const other = placed.find((one) => Math.abs(one.x - x) < (one.width + width) / 2 && Math.abs(one.y - y) < height);
      if (other) y = other.y - other.height - 4;
      placed.push({ x, y, width, height });
      element.style.transform = `translate(${Math.round(x - width / 2)}px, ${Math.round(y - height)}px)`;
    });
  }
}
