/** Named scenes for the truth tests: each a function of a seed, none of them tuned to the program. */
import { type Scene, scene } from './scene.ts';

/** A near-rectangular field, straight passes, a precise receiver, one machine with header switch and moisture. */
export function plain(seed: number): Scene {
  return scene('plain')
    .seed(seed)
    .field({
      name: 'Plain',
      corners: [
        [-150, -165],
        [146, -160],
        [152, 158],
        [-147, 165],
      ],
    })
    .machine({ drive: { load_speeds: [1, 0.8, 1.1, 0.9] } })
    .loads({ load_t: 14 });
}

/**
 * An irregular field with point rows and a corner that points inward; two unlike machines take every other pass, one
 * of them with beam and fixes in separate files; southern and eastern hemisphere; pounds; a mistyped ticket.
 */
export function twoMachines(seed: number): Scene {
  return scene('twoMachines')
    .seed(seed)
    .field({
      name: 'Long Bend',
      crop: 'soybeans',
      lon0: 148.2,
      lat0: -33.6,
      corners: [
        [-210, -140],
        [60, -190],
        [235, -60],
        [190, 160],
        [20, 195],
        [-40, 85],
        [-190, 70],
      ],
      start_utc: '2026-04-11T01:05:00Z',
      yield_t_ha: 3.6,
      yield_cv: 0.16,
      yield_range_m: 90,
      yield_trend_deg: 310,
      moisture_pct: 12.4,
      moisture_sd_pct: 0.5,
      passes: { heading_deg: 77, overlap_m: 0.3 },
    })
    .machine({
      antenna: { ahead_of_cut_m: -3.1, right_of_centre_m: 0.6 },
      header: { width_m: 7.62 },
      drive: { speed_m_s: 2.2, load_speeds: [1, 1.15, 0.85] },
      logger: { drift_ppm: -31 },
    })
    .machine({
      id: 'c2',
      name: 'combine 2',
      paddle: { pitch_mm: 165.6, width_mm: 240, depth_mm: 160, thickness_mm: 9, count: 72 },
      beam: { from_back_mm: 80, height_mm: 5 },
      antenna: { ahead_of_cut_m: -4.2, right_of_centre_m: -0.35 },
      header: { width_m: 7.62 },
      drive: { speed_m_s: 1.95, load_speeds: [1, 0.85, 1.15], axle_to_cut_m: 3.5 },
      grain: { transport_s: 9.4, mixing_s: 3.4 },
      elevator: { chain_m_s: 1.85, shape_factor: 1.04 },
      receiver: { talker: 'GN', vtg: true },
      logger: { start_tick_us: 3_100_000_000, drift_ppm: 44, files: 'beam_and_fixes' },
    })
    .loads({ load_t: 5.2, unit: 'lb', columns: 'gross_tare_net', mistyped_index: 4 });
}

/**
 * Contour passes, no header switch, a differential receiver ahead of the header and right of its middle; western and
 * southern hemisphere; a log with comment, header line and CRLF.
 */
export function contourNoHeader(seed: number): Scene {
  return scene('contourNoHeader')
    .seed(seed)
    .field({
      name: 'Terraces',
      crop: 'wheat',
      lon0: -61.3,
      lat0: -34.1,
      corners: [
        [-165, -140],
        [160, -150],
        [170, 130],
        [-150, 145],
      ],
      start_utc: '2026-12-03T15:40:00Z',
      yield_t_ha: 6.4,
      yield_cv: 0.17,
      yield_range_m: 110,
      moisture_pct: 13.1,
      moisture_sd_pct: 0.4,
      relief_m: 1.5,
      passes: { pattern: 'contour', heading_deg: 88, overlap_m: 0.6, bend_m: 17, bend_length_m: 430 },
    })
    .machine({
      paddle: { pitch_mm: 190.5, width_mm: 250, count: 64 },
      antenna: { ahead_of_cut_m: 0.45, right_of_centre_m: 0.8 },
      header: { width_m: 9 },
      drive: { speed_m_s: 2, load_speeds: [0.9, 1.1, 1] },
      grain: { transport_s: 14.3, mixing_s: 2.4 },
      receiver: { fix: 'differential', rate_hz: 5 },
      logger: { header_switch: false, dressing: 'dressed' },
    })
    .loads({ load_t: 10, unit: 't' });
}

/**
 * All at once: chatter, dust that lifts the empty level, counter wrap, restarts, the end of a month at midnight, lost
 * and wrong fixes, damaged lines, a bent paddle, slopes seen by a beam off the middle, heaps that change shape with
 * flow, a mistyped ticket, a fast clock, a narrow last pass, a rest with the elevator stopped, moisture gone for a while.
 */
export function everythingWrong(seed: number): Scene {
  return scene('everythingWrong')
    .seed(seed)
    .units('us')
    .field({
      name: 'Windmill',
      crop: 'corn',
      lon0: -97.9,
      lat0: 41.2,
      corners: [
        [-135, -150],
        [123.6, -150],
        [123.6, 150],
        [-135, 150],
      ],
      start_utc: '2026-10-31T22:52:00Z',
      yield_t_ha: 11.5,
      relief_m: 1.4,
      passes: { headland_laps: 2, heading_deg: 0, overlap_m: 0.3 },
    })
    .machine({
      paddle: { bent_index: 17, bent_mm: 5 },
      beam: { from_back_mm: 45, dust_mm_per_h: 0.7 },
      antenna: { ahead_of_cut_m: -2.6, right_of_centre_m: -0.5 },
      header: { width_m: 9.144 },
      drive: { speed_m_s: 2, load_speeds: [1, 0.75, 1.1] },
      elevator: { shape_bend: 0.08, slip: 0.012, wobble: 0.012 },
      logger: { start_tick_us: 2 ** 32 - 1_150_000_000, drift_ppm: 120, tilt: true },
    })
    .damage({
      chatter_per_s: 1.5,
      missing_edges: 40,
      repeated_lines: 60,
      swapped_lines: 60,
      bad_checksums: 25,
      half_lines: 25,
      joined_lines: 8,
      nul_runs: 4,
      truncated_end: true,
      dropouts: 6,
      dropout_s: 7,
      position_leaps: 5,
      restart_min: [44, 71],
      restart_gap_s: 3,
      moisture_out_min: [[30, 42]],
    })
    .loads({ load_t: 12, unit: 'lb', mistyped_index: 3, mistype: 0.12, rest_after: [2], rest_s: 420 });
}

/** One ticket for the whole field, without times. */
export function singleFieldTicket(seed: number): Scene {
  return scene('singleFieldTicket')
    .seed(seed)
    .field({
      name: 'Mill Piece',
      crop: 'wheat',
      lon0: 11.4,
      lat0: 52.1,
      corners: [
        [-120, -150],
        [130, -140],
        [105, 160],
        [-140, 120],
      ],
      start_utc: '2026-07-29T11:30:00Z',
      yield_t_ha: 8.1,
      moisture_pct: 14.2,
      passes: { heading_deg: 8, headland_laps: 1 },
    })
    .machine({ header: { width_m: 7.5 }, grain: { transport_s: 11.2, mixing_s: 3.1 } })
    .loads({ load_t: 9, tickets: 'field', unit: 't' });
}
