/**
 * What the place of the beam costs on slopes: a beam δ behind the middle of the stream sees heaps δ·tan θ too high with the
 * nose up by θ, so that the flow is wrong by δ·tan θ over the height of the heap. A heap takes up the fill (its share of the
 * pitch) times the pitch.
 */

export interface SlopeError {
  /** tan θ: 0.05 is a slope of 5 %. */
  readonly slope: number;
  /** Height of the heap as a share of the pitch. */
  readonly fill: number;
  readonly heap_mm: number;
  /** δ·tan θ. */
  readonly height_error_mm: number;
  /** Of the flow, uphill (downhill: the other sign), %. */
  readonly flow_error_pct: number;
}

/** Slopes that are driven, and heaps of light, usual and heavy crop (common practice, no source). */
export const SLOPES = [0.02, 0.05, 0.1] as const;
export const FILLS = [0.1, 0.25, 0.5] as const;

/** Errors for a beam `offset_mm` behind the middle, by slope and heap. */
export function slopeErrors(offset_mm: number, pitch_mm: number): SlopeError[] {
  return SLOPES.flatMap((slope) =>
    FILLS.map((fill) => {
      const heap_mm = fill * pitch_mm;
      const height_error_mm = offset_mm * slope;
      return { slope, fill, heap_mm, height_error_mm, flow_error_pct: (100 * height_error_mm) / heap_mm };
    }),
  );
}
