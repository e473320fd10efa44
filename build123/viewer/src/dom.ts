// Elements made from values. Whatever comes from a spec goes in as text; nothing here reads markup.

type Child = Node | string | null | false | undefined;
type Listener = (event: Event) => void;
export type Props = Readonly<Record<string, string | number | boolean | Listener | null | undefined>>;

/** An element: `on...` are listeners, true and false set or leave out an attribute, everything else is an attribute. */
export function h<K extends keyof HTMLElementTagNameMap>(tag: K, props: Props = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children.filter((child): child is Node | string => !!child || child === ""));
  return made;
}

export function byId<E extends Element = HTMLElement>(id: string): E {
  const found = document.getElementById(id);
  if (!found) throw new Error(`the page has no ${id}`);
  return found as Element as E;
}

/** Replaces what is in a place, and gives the focus back to the element of the same `data-key`. */
export function refill(place: HTMLElement, ...children: Child[]): void {
  const active = document.activeElement;
  const key = active instanceof HTMLElement && place.contains(active) ? active.dataset.key : undefined;
  place.replaceChildren(...children.filter((child): child is Node | string => !!child));
  if (key === undefined) return;
  const again = Array.from(place.querySelectorAll<HTMLElement>("[data-key]")).find((one) => one.dataset.key === key);
  again?.focus({ preventScroll: true });
}

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;
