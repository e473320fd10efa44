// What every leaf of the paper and every tray may ask of the page.
import type { Model } from "./model";
import type { Focus, State } from "./state";

export interface Desk {
  readonly model: Model;
  readonly state: State;
  change(patch: Partial<State>): void;
  /** Focus on something and turn the model so that it is seen. */
  go(focus: Focus): void;
  /** Bring what is shown, or some bodies of it, into the window. */
  fit(names?: readonly string[]): void;
  say(words: string): void;
  /** The address of a part's sheet as a picture; empty where there is none. */
  sheet(path: string): string;
}
