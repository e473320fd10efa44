// The start: the piece in the page, then whatever a live server tells.
import { App } from "./app";
import { byId, h } from "./dom";
import { follow } from "./live";
import type { Finding } from "./report";
import { inlinePiece, livePath, livePiece } from "./source";
import { SIGNS } from "./words";
import { placeWords } from "./why";

/** Whether a model is on the screen. */
let shown = false;

async function start(): Promise<void> {
  const live = livePath();
  const app = new App();
  let asked = 0;
  const renew = async (): Promise<void> => {
    const mine = ++asked;
    const piece = await livePiece(live);
    if (!piece || mine !== asked) return; // a newer save was asked for meanwhile
    app.load(piece);
    shown = true;
  };
  const inside = await inlinePiece();
  if (inside) {
    app.load(inside);
    shown = true;
  } else if (live) await renew();
  if (!live) return;
  follow(live, {
    piece: () => {
      trouble([]); // at once: what is told after it holds
      void renew();
    },
    broken: trouble,
    mended: () => trouble([]),
    lost: (lost) => {
      byId("lost").hidden = !lost;
      if (!lost) trouble([]); // the server tells anew what is wrong
    },
  });
}

/** What is wrong with the spec, over the last good model; nothing where it is mended. */
function trouble(findings: readonly Finding[]): void {
  const place = byId("trouble");
  place.hidden = !findings.length;
  place.replaceChildren(
    h("h2", {}, shown ? "The spec has errors; this is the last good model" : "The spec has errors; there is no model yet"),
    ...findings.map((finding) =>
      h(
        "div",
        { class: "fit" },
        h(
          "p",
          { class: "name" },
          h("span", { class: `sign ${finding.severity}` }, SIGNS[finding.severity].join(" ")),
          ` ${finding.message}`,
        ),
        finding.places[0] ? h("p", { class: "soft" }, placeWords(finding.places[0])) : null,
        finding.excerpt ? h("pre", { tabindex: 0 }, finding.excerpt) : null,
        finding.change ? h("p", {}, finding.change) : null,
      ),
    ),
  );
}

start().catch((problem: unknown) => {
  const place = byId("trouble");
  place.hidden = false;
  place.replaceChildren(h("h2", {}, "The model cannot be shown"), h("p", {}, problem instanceof Error ? problem.message : String(problem)));
});
