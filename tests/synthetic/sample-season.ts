/** The sample season: one invented farm, two fields, two crops, one mistyped ticket. All names are made up. */
import { join } from 'node:path';
import { type Patch, scene } from './scene.ts';
import type { FieldSpec } from './scene-spec.ts';
import { type SimulatedSeason, simulate } from './simulate.ts';
import { drawnStrips, treatedPasses } from './strip-layout.ts';

/** Where it lies, seen from the directory that npm runs its scripts in: the root of the repository. */
export const SAMPLE_FOLDER = join(process.cwd(), 'sample-data', 'alder-rise-2026');

const BRICKYARD: Patch<FieldSpec> = {
  name: 'Brickyard',
  crop: 'soybeans',
  lon0: -95.0621,
  lat0: 42.1174,
  corners: [
    [-150, -95],
    [140, -125],
    [170, 60],
    [25, 130],
    [-165, 105],
  ],
  start_utc: '2026-09-28T17:10:00Z',
  yield_t_ha: 3.9,
  yield_cv: 0.15,
  yield_range_m: 90,
  moisture_pct: 12.3,
  moisture_sd_pct: 0.5,
  machines: ['c1'],
  load_t: 5.5,
};
const BRICKYARD_PASSES = { heading_deg: 84, headland_laps: 2 };
const HEADER_M = 9.144;

/** Six pairs in random order; what was sprayed yields 8 % more, in truth. */
const SPRAYED = 'sprayed';
const PLAIN = 'not sprayed';
const PAIRS = [
  [PLAIN, SPRAYED],
  [SPRAYED, PLAIN],
  [SPRAYED, PLAIN],
  [PLAIN, SPRAYED],
  [SPRAYED, PLAIN],
  [PLAIN, SPRAYED],
];
export const SPRAYED_FACTOR = 1.08;

/** Always the same bytes. */
export function sampleSeason(): SimulatedSeason {
  const [field] = scene('plan').field({ ...BRICKYARD, passes: BRICKYARD_PASSES }).spec.fields;
  const strips = treatedPasses(field, HEADER_M, PAIRS.flat(), { [SPRAYED]: SPRAYED_FACTOR });
  return simulate(
    scene('Alder Rise 2026')
      .seed(2026)
      .units('us')
      .field({ ...BRICKYARD, passes: BRICKYARD_PASSES, strips })
      .field({
        name: 'Three Oaks',
        crop: 'corn',
        lon0: -95.0483,
        lat0: 42.1029,
        corners: [
          [-175, -120],
          [150, -135],
          [185, 40],
          [90, 150],
          [-160, 135],
        ],
        start_utc: '2026-10-15T18:30:00Z',
        yield_t_ha: 12.2,
        yield_cv: 0.14,
        yield_range_m: 120,
        moisture_pct: 18.2,
        moisture_sd_pct: 0.7,
        relief_m: 1.6,
        passes: { pattern: 'contour', heading_deg: 95, headland_laps: 2, bend_m: 9, bend_length_m: 380 },
      })
      .machine({
        name: 'combine 1',
        beam: { dust_mm_per_h: 0.25 },
        antenna: { ahead_of_cut_m: -3.3, right_of_centre_m: 0.4 },
        header: { width_m: HEADER_M },
        drive: { speed_m_s: 2.1, load_speeds: [1, 0.8, 1.12, 0.92] },
        grain: { transport_s: 12.4, mixing_s: 2.9 },
        elevator: { shape_bend: 0.03 },
        logger: { gzip: true, drift_ppm: 22 },
      })
      .machine({
        id: 'c2',
        name: 'combine 2',
        paddle: { pitch_mm: 190.5, width_mm: 270, depth_mm: 145, thickness_mm: 11, count: 66 },
        beam: { from_back_mm: 70, height_mm: 5, dust_mm_per_h: 0.2 },
        antenna: { ahead_of_cut_m: -2.9, right_of_centre_m: 0 },
        header: { width_m: HEADER_M },
        drive: { speed_m_s: 2, load_speeds: [1, 1.12, 0.85] },
        grain: { transport_s: 10.6, mixing_s: 3.2 },
        elevator: { chain_m_s: 1.95, shape_factor: 0.97 },
        logger: { gzip: true, start_tick_us: 3_350_000_000, drift_ppm: -14 },
      })
      .damage({
        chatter_per_s: 0.4,
        missing_edges: 6,
        repeated_lines: 5,
        swapped_lines: 4,
        bad_checksums: 4,
        half_lines: 3,
        nul_runs: 1,
        truncated_end: true,
        dropouts: 1,
        dropout_s: 5,
      })
      .sheet({
        comparisons: [
          { name: 'Fungicide', field: 'Brickyard', strips: drawnStrips(field, strips, [-130, 95], 2) },
        ],
        settings: {
          margin: {
            currency: '$',
            prices: [
              { crop: 'soybeans', price_per_bu: 10.2, hauling_per_bu: 0.15 },
              { crop: 'corn', price_per_bu: 4.1, drying_per_point_bu: 0.05, hauling_per_bu: 0.15 },
            ],
            costs: [
              { name: 'seed', per_ac: 68, crop: 'soybeans' },
              { name: 'seed', per_ac: 112, crop: 'corn' },
              { name: 'fertiliser', per_ac: 150, crop: 'corn' },
              { name: 'fungicide', per_ac: 16, treatment: SPRAYED },
            ],
          },
        },
      })
      .loads({ load_t: 9.5, unit: 'lb', columns: 'gross_tare_net', mistyped_index: 8, first_number: 20417 }),
  );
}
