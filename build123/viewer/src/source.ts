// Where the piece comes from: packed in the page, or asked of the server that the page names.
import type { Piece } from "./report";

export const livePath = (): string => document.querySelector<HTMLMetaElement>('meta[name="build123-live"]')?.content ?? "";

/** The piece in the page; null where there is none. */
export async function inlinePiece(): Promise<Piece | null> {
  const text = document.getElementById("piece")?.textContent;
  if (!text) return null;
  const data = JSON.parse(text) as Piece | { readonly packed: string };
  return "packed" in data ? unpack(data.packed) : data;
}

/** The piece as the server has it now; null where it has none yet. */
export async function livePiece(live: string): Promise<Piece | null> {
  const answer = await fetch(`${live}/piece.json`, { cache: "no-store" });
  return answer.ok ? ((await answer.json()) as Piece | null) : null;
}

async function unpack(packed: string): Promise<Piece> {
  const stream = new Blob([bytes(packed)]).stream().pipeThrough(new DecompressionStream("gzip"));
  return (await new Response(stream).json()) as Piece;
}

export function bytes(base64: string): Uint8Array<ArrayBuffer> {
  const text = atob(base64);
  const out = new Uint8Array(text.length);
  for (let n = 0; n < text.length; n++) out[n] = text.charCodeAt(n);
  return out;
}
