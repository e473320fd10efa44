// Mouse, fingers and keys, turned into moves of the eye.
import type { Rig, Sight } from "./rig";
import { axes } from "./rig";
import { clamp, SPANS } from "./state";
import type { Vec } from "./report";
import { add, scale } from "./vec";

export interface Wishes {
  look(sight: Sight): void;
  pick(x: number, y: number, coarse: boolean): void;
  aim(x: number, y: number): void;
  unaim(): void;
  nearTo(x: number, y: number): void;
  key(event: KeyboardEvent): boolean;
}

const DEG_PER_PIXEL = 0.4;
const CLICK_PX = 6;
const STEP_DEG = 15;
const STEP_PX = 60;

export function listen(canvas: HTMLCanvasElement, rig: Rig, wishes: Wishes): void {
  const down = new Map<number, { x: number; y: number }>();
  let pressed: { x: number; y: number; pan: boolean; far: boolean } | null = null;
  const at = (event: MouseEvent): { x: number; y: number } => {
    const box = canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, at(event));
    pressed = { ...at(event), pan: event.button !== 0 || event.shiftKey, far: down.size > 1 };
  });
  canvas.addEventListener("pointermove", (event) => {
    const now = at(event);
    const before = down.get(event.pointerId);
    if (!before) {
      wishes.aim(now.x, now.y);
      return;
    }
    if (!pressed) return;
    if (!pressed.far && Math.hypot(now.x - pressed.x, now.y - pressed.y) < CLICK_PX) return;
    pressed.far = true;
    const others = [...down].filter(([id]) => id !== event.pointerId).map(([, p]) => p);
    down.set(event.pointerId, now);
    const other = others[0];
    if (other) {
      const [was, is] = [Math.hypot(before.x - other.x, before.y - other.y), Math.hypot(now.x - other.x, now.y - other.y)];
      const mid = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 };
      wishes.look(moved(zoomed(rig, was / Math.max(is, 1), mid.x, mid.y), rig, (now.x - before.x) / 2, (now.y - before.y) / 2));
    } else if (pressed.pan) wishes.look(moved(rig.sight, rig, now.x - before.x, now.y - before.y));
    else wishes.look(turned(rig.sight, (before.x - now.x) * DEG_PER_PIXEL, (now.y - before.y) * DEG_PER_PIXEL));
  });
  canvas.addEventListener("pointerleave", () => wishes.unaim());
  const up = (event: PointerEvent, picks: boolean): void => {
    if (!down.delete(event.pointerId)) return;
    if (picks && pressed && !pressed.far && !pressed.pan && !down.size) wishes.pick(pressed.x, pressed.y, event.pointerType !== "mouse");
    if (!down.size) pressed = null;
  };
  canvas.addEventListener("pointerup", (event) => up(event, true));
  canvas.addEventListener("pointercancel", (event) => up(event, false));
  canvas.addEventListener("dblclick", (event) => wishes.nearTo(at(event).x, at(event).y));
  canvas.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      const lines = event.deltaMode === 1 ? 16 : 1;
      wishes.look(zoomed(rig, Math.exp(clamp(event.deltaY * lines, -240, 240) * 0.0016), at(event).x, at(event).y));
    },
    { passive: false },
  );
  canvas.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const sight = keyed(event, rig);
    if (sight) wishes.look(sight);
    if (sight || wishes.key(event)) event.preventDefault();
  });
}

export const turned = (sight: Sight, yaw: number, pitch: number): Sight => ({
  ...sight,
  yaw: sight.yaw + yaw,
  pitch: clamp(sight.pitch + pitch, -90, 90),
});

function moved(sight: Sight, rig: Rig, dx: number, dy: number): Sight {
  const { right, up } = axes(sight);
  const mm = sight.span / rig.height;
  return { ...sight, target: add(sight.target, add(scale(right, -dx * mm), scale(up, dy * mm))) };
}

/** Nearer (a factor below 1) or farther, with what is at the pixel staying there. */
function zoomed(rig: Rig, factor: number, x: number, y: number): Sight {
  const { sight } = rig;
  const span = clamp(sight.span * factor, ...SPANS);
  const { right, up } = axes(sight);
  const mm = (sight.span - span) / rig.height;
  const shift: Vec = add(scale(right, (x - rig.width / 2) * mm), scale(up, (rig.height / 2 - y) * mm));
  return { ...sight, span, target: add(sight.target, shift) };
}

function keyed(event: KeyboardEvent, rig: Rig): Sight | null {
  const { sight } = rig;
  const [mx, my] = [rig.width / 2, rig.height / 2];
  const arrows: Record<string, readonly [number, number]> = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  const arrow = arrows[event.key];
  if (arrow)
    return event.shiftKey
      ? moved(sight, rig, arrow[0] * STEP_PX, arrow[1] * STEP_PX)
      : turned(sight, -arrow[0] * STEP_DEG, arrow[1] * STEP_DEG);
  if (event.key === "+" || event.key === "=") return zoomed(rig, 1 / 1.25, mx, my);
  if (event.key === "-" || event.key === "_") return zoomed(rig, 1.25, mx, my);
  return null;
}
