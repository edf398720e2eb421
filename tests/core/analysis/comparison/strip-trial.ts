/** An invented trial in strips: points as the chain leaves them, on a field of which everything is known. */
import type { ComparisonSheet, StripSheet } from '../../../../core/analysis/comparison/comparison-sheet.ts';
import type { FieldPoints } from '../../../../core/result.ts';
import { localFrame } from '../../../../core/track/local-frame.ts';

export interface StripTrial {
  /** From west to east, one strip each. */
  readonly treatments: readonly string[];
  readonly replicates?: readonly string[];
  /** Yield at a place, by what stands there, kg/m². */
  readonly yieldAt: (treatment: string, east_m: number, north_m: number) => number;
  readonly points_a_strip?: number;
  readonly spacing_m?: number;
  readonly width_m?: number;
  /** How much wider strips are drawn than they are cut; 0.2 m when absent. */
  readonly margin_m?: number;
}

const FRAME = localFrame(-93.6, 42);

/** One pass a strip, up and down in turn, at 2 m/s, moisture 18 % throughout. */
export function trialPoints(trial: StripTrial): FieldPoints {
  const { treatments, points_a_strip = 60, spacing_m = 2, width_m = 9 } = trial;
  const rows = treatments.length * points_a_strip;
  const column = (of: (strip: number, along: number) => number) =>
    Float64Array.from({ length: rows }, (_, row) => {
      const strip = Math.floor(row / points_a_strip);
      const k = row % points_a_strip;
      return of(strip, strip % 2 === 0 ? k : points_a_strip - 1 - k);
    });
  const east_m = column((strip) => (strip + 0.5) * width_m);
  const north_m = column((_, along) => (along + 0.5) * spacing_m);
  const yield_kg_m2 = column((strip, along) =>
    trial.yieldAt(treatments[strip], (strip + 0.5) * width_m, (along + 0.5) * spacing_m),
  );
  const fresh_area_m2 = column(() => width_m * spacing_m);
  const { longitude_deg, latitude_deg } = FRAME.toGeographic(east_m, north_m);
  // standard moisture 15.5 %
  const mass_kg = yield_kg_m2.map((amount, row) => (amount * fresh_area_m2[row] * 84.5) / 82);
  return {
    field: 'Home',
    crop: 'corn',
    t_s: Float64Array.from({ length: rows }, (_, row) => row + 30 * Math.floor(row / points_a_strip)),
    machine: new Int32Array(rows),
    pass: Int32Array.from({ length: rows }, (_, row) => Math.floor(row / points_a_strip)),
    load: new Int32Array(rows).fill(-1),
    longitude_deg,
    latitude_deg,
    east_m,
    north_m,
    heading_rad: column((strip) => (strip % 2 === 0 ? 0 : Math.PI)),
    speed_m_s: column(() => 2),
    distance_m: column(() => spacing_m),
    duration_s: column(() => spacing_m / 2),
    cut_width_m: column(() => width_m),
    width_se_m: column(() => 0.05),
    fresh_area_m2,
    mass_kg,
    mass_flow_kg_s: mass_kg.map((kg) => kg / (spacing_m / 2)),
    volume_flow_m3_s: mass_kg.map((kg) => kg / 720),
    moisture_pct: column(() => 18),
    yield_kg_m2,
    yield_se_kg_m2: column(() => 0.05),
    screened_by: new Uint8Array(rows),
  };
}

/** The strips as somebody would draw them. */
export function trialSheet(trial: StripTrial, more: Partial<ComparisonSheet> = {}): ComparisonSheet {
  const { treatments, points_a_strip = 60, spacing_m = 2, width_m = 9, margin_m = 0.2, replicates } = trial;
  const north_m = points_a_strip * spacing_m;
  const strips = treatments.map((treatment, k): StripSheet => {
    const [west, east] = [k * width_m - margin_m / 2, (k + 1) * width_m + margin_m / 2];
    const corners = FRAME.toGeographic([west, east, east, west], [0, 0, north_m, north_m]);
    const ring = [0, 1, 2, 3].map((c) => [corners.longitude_deg[c], corners.latitude_deg[c]] as const);
    return { treatment, rings: [ring], ...(replicates && { replicate: replicates[k] }) };
  });
  return { name: 'Trial', field: 'Home', strips, ...more };
}
