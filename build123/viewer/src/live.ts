// News from the server of a live page: another piece, a spec with errors, a spec that is mended.
import type { Finding } from "./report";

export interface News {
  piece(): void;
  broken(findings: readonly Finding[]): void;
  mended(): void;
  lost(lost: boolean): void;
}

export function follow(live: string, news: News): void {
  const events = new EventSource(`${live}/events`);
  events.addEventListener("piece", () => news.piece());
  events.addEventListener("broken", (event) =>
    news.broken((JSON.parse((event as MessageEvent<string>).data) as { findings: Finding[] }).findings),
  );
  events.addEventListener("mended", () => news.mended());
  events.addEventListener("open", () => news.lost(false));
  events.addEventListener("error", () => news.lost(true));
}
