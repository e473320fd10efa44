// Light and dark: what the reader chose last, else what the system prefers. A page opened from disk may have no memory.
import type { Palette } from "./scene";
import type { Theme } from "./state";

const KEY = "build123-theme";

export function storedTheme(): Theme {
  try {
    const theme = localStorage.getItem(KEY);
    return theme === "light" || theme === "dark" ? theme : "";
  } catch {
    return "";
  }
}

export function storeTheme(theme: Theme): void {
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // It shows what the system prefers next time.
  }
}

/** The colours of the picture, from the style of the page. Wood is lightened by a power: more on a light ground. */
export function palette(theme: "light" | "dark"): Palette {
  const style = getComputedStyle(document.documentElement);
  const of = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ground: of("--ground"),
    ink: of("--line-ink"),
    faint: of("--line-faint"),
    accent: of("--mark"),
    tint: of("--tint"),
    bad: of("--bad"),
    lift: theme === "dark" ? 0.85 : 0.62,
  };
}
