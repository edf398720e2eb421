/** Points of a made-up rectangular field, by plain arithmetic. */
import { type FieldPoints, SCREENING_RULES } from '../../../core/result.ts';

/** A rectangular field. */
interface Block {
  readonly field: string;
  readonly crop: string;
  readonly length_m: number;
  readonly passes: number;
  readonly origin: readonly [longitude_deg: number, latitude_deg: number];
  readonly mean_kg_m2: number;
}

const HEADER_M = 9.144;
const STEP_M = 2.5;
const M_PER_DEG = 111_320;

/** Points of one rectangular field, cut up and down, with a ramp at each end, a narrow last pass and one outlier. */
export function blockPoints(block: Block): FieldPoints {
  const rows: number[][] = [];
  const perPass = Math.floor(block.length_m / STEP_M);
  let t_s = 0.5;
  for (let pass = 0; pass < block.passes; pass++) {
    const isNorthbound = pass % 2 === 0;
    for (let step = 0; step < perPass; step++, t_s += 1.25) {
      const along_m = (step + 0.5) * STEP_M;
      const north_m = isNorthbound ? along_m : block.length_m - along_m;
      const east_m = (pass + 0.5) * HEADER_M;
      const isLast = pass === block.passes - 1;
      const rule =
        step < 4 || step > perPass - 4
          ? 'ramp'
          : isLast
            ? 'narrow_cut'
            : (pass * perPass + step) % 701 === 300
              ? 'slow'
              : '';
      const wave =
        Math.sin(east_m / 61) * 0.16 +
        Math.cos(north_m / 83) * 0.12 +
        Math.sin((east_m + north_m) / 29) * 0.05;
      rows.push([
        t_s,
        pass,
        east_m,
        north_m,
        isNorthbound ? 0 : Math.PI,
        block.mean_kg_m2 * (1 + wave),
        rule === '' ? 0 : 1 + SCREENING_RULES.indexOf(rule),
        isLast ? 3 : HEADER_M,
      ]);
    }
    for (let turn = 0; turn < 6; turn++, t_s += 1.25) {
      const north_m = isNorthbound ? block.length_m + 5 : -5;
      rows.push([t_s, -1, (pass + 0.5 + turn / 6) * HEADER_M, north_m, Math.PI / 2, Number.NaN, 1, 0]);
    }
  }
  const column = (index: number) => Float64Array.from(rows, (row) => row[index]);
  const constant = (held: number) => new Float64Array(rows.length).fill(held);
  const yield_kg_m2 = column(5);
  const area = Float64Array.from(rows, (row) => row[7] * STEP_M);
  return {
    field: block.field,
    crop: block.crop,
    t_s: column(0),
    machine: new Int32Array(rows.length),
    pass: Int32Array.from(rows, (row) => row[1]),
    load: Int32Array.from(rows, (_, row) => (row < 20 ? -1 : Math.floor(row / 800) % 7)),
    longitude_deg: Float64Array.from(rows, (row) => block.origin[0] + row[2] / (M_PER_DEG * 0.74)),
    latitude_deg: Float64Array.from(rows, (row) => block.origin[1] + row[3] / M_PER_DEG),
    east_m: column(2),
    north_m: column(3),
    heading_rad: column(4),
    speed_m_s: constant(2),
    distance_m: constant(STEP_M),
    duration_s: constant(1.25),
    cut_width_m: column(7),
    width_se_m: constant(0.02),
    fresh_area_m2: area,
    mass_kg: area.map((area_m2, row) => (area_m2 > 0 ? area_m2 * yield_kg_m2[row] : 0)),
    mass_flow_kg_s: Float64Array.from(yield_kg_m2, (kg_m2, row) => (kg_m2 * area[row]) / 1.25),
    volume_flow_m3_s: Float64Array.from(yield_kg_m2, (kg_m2, row) => (kg_m2 * area[row]) / 1.25 / 720),
    moisture_pct: Float64Array.from(rows, (_, row) =>
      row % 97 === 0 ? Number.NaN : 17.2 + Math.sin(row / 400),
    ),
    yield_kg_m2,
    yield_se_kg_m2: yield_kg_m2.map((kg_m2) => kg_m2 * 0.04),
    screened_by: Uint8Array.from(rows, (row) => row[6]),
  };
}
