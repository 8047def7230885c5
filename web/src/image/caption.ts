// A caption that says when, how much, and how fine; every word of it follows from the proof.
import type { ImageProof } from "../wire";
import { clock, day, span, with_error } from "../words";

export function caption_of(name: string, proof: ImageProof): string {
  const when = proof.reference_utc ? `${day(proof.reference_utc)}, ${clock(proof.reference_utc)} UT (middle)` : "time unknown";
  const over = proof.span_s ? ` over ${span(proof.span_s)}` : "";
  const method = proof.restoration.method;
  return (
    `${name}. ${when}. ${proof.frames_used} of ${proof.frames_read} frames${over}, ${proof.scale.arcsec_per_px.toFixed(4)}" a pixel. ` +
    `Resolved to ${with_error(proof.resolution.arcsec, proof.resolution.sigma)}" by two independent halves. ${method} restoration, no retouching.`
  );
}
