/**
 * What the simulator is told: fields, machines, damage, loads. Every length, mass and time carries its unit in its name.
 */
import type { Season } from '../../core/season.ts';
import type { SimulatedCropName } from './crops.ts';

/** Local metres [east, north] of the field's origin. */
export type Corner = readonly [number, number];

/** How a field is driven. */
export interface PassPlan {
  /** Straight passes, or parallel curves about a sine-shaped guide line. */
  readonly pattern: 'straight' | 'contour';
  /** Direction of the first pass, degrees clockwise from north. */
  readonly heading_deg: number;
  readonly headland_laps: number;
  /** Nominal overlap of neighbouring passes. */
  readonly overlap_m: number;
  /** How far the first lap's header hangs over the field's edge. */
  readonly overhang_m: number;
  /** Several machines: every other pass, or a share of the field each. */
  readonly share: 'alternate' | 'halves';
  /** Contour passes: the guide line swings this far to either side … */
  readonly bend_m: number;
  /** … once in this length. */
  readonly bend_length_m: number;
}

/** A strip along the passes: between two lines of `across = east cos h − north sin h`, h their heading. */
export interface TreatedGround {
  readonly treatment: string;
  readonly factor: number;
  readonly from_across_m: number;
  readonly to_across_m: number;
}

/** One field and its crop. */
export interface FieldSpec {
  readonly name: string;
  readonly crop: SimulatedCropName;
  /** Origin of the local metres, WGS84 degrees. */
  readonly lon0: number;
  readonly lat0: number;
  readonly corners: readonly Corner[];
  /** When the first machine's logger is switched on. */
  readonly start_utc: string;
  /** Mean yield at standard moisture. */
  readonly yield_t_ha: number;
  readonly yield_cv: number;
  readonly yield_range_m: number;
  /** Yield rises by this fraction of the mean across the field along `yield_trend_deg`. */
  readonly yield_trend: number;
  readonly yield_trend_deg: number;
  /** Fraction lost at the very edge, fading over 10 m. */
  readonly edge_loss: number;
  /** Ground on which the crop yields `factor` of what it would: treatments in strips. */
  readonly strips?: readonly TreatedGround[];
  readonly moisture_pct: number;
  readonly moisture_sd_pct: number;
  readonly moisture_range_m: number;
  /** The crop's own when absent. */
  readonly standard_moisture_pct?: number;
  readonly bulk_density_kg_m3?: number;
  readonly altitude_m: number;
  /** Standard deviation of the ground's height. */
  readonly relief_m: number;
  readonly relief_range_m: number;
  readonly passes: PassPlan;
  /** Replaces the scene's `load_t` here. */
  readonly load_t?: number;
  /** Ids of the machines that work here; all when absent. */
  readonly machines?: readonly string[];
  /** Whether the surveyed boundary is in the season folder. */
  readonly boundary: 'surveyed' | 'none';
}

/** One machine: steel, driver, grain, receiver, logger. */
export interface MachineSpec {
  readonly id: string;
  readonly name: string;
  readonly paddle: {
    readonly pitch_mm: number;
    readonly width_mm: number;
    readonly depth_mm: number;
    readonly thickness_mm: number;
    readonly count: number;
    /** A bent paddle: its place on the chain (paddle number modulo count) and what it adds to the dark length. */
    readonly bent_index: number;
    readonly bent_mm: number;
  };
  readonly beam: {
    readonly from_back_mm: number;
    readonly height_mm: number;
    /** Dust on the optics lengthens every dark run by this much an hour; they are wiped before each field. */
    readonly dust_mm_per_h: number;
  };
  readonly antenna: { readonly ahead_of_cut_m: number; readonly right_of_centre_m: number };
  readonly header: { readonly width_m: number; readonly rows?: number };
  readonly drive: {
    readonly speed_m_s: number;
    /** Each load is driven at its own share of the speed, in turn. */
    readonly load_speeds: readonly number[];
    /** Steps within a pass: up to this fraction either way, about every 80 s. 0 for none. */
    readonly speed_steps: number;
    /** Slow variation of speed, fraction of it. */
    readonly speed_ripple: number;
    readonly turn_speed_m_s: number;
    readonly turn_radius_m: number;
    /** Steering error, largest distance from the planned line. */
    readonly wander_m: number;
    /** Distance from the unsteered axle, which follows the line, forward to the cutting line. */
    readonly axle_to_cut_m: number;
    readonly start_idle_s: number;
    readonly end_idle_s: number;
  };
  readonly grain: {
    /** Cut to beam: pure delay, a multiple of the time step of 0.05 s. */
    readonly transport_s: number;
    /** Cut to beam: time constant of first-order mixing. */
    readonly mixing_s: number;
    /** Beam to moisture sensor: pure delay, multiple of 0.05 s, and time constant. */
    readonly moisture_delay_s: number;
    readonly moisture_mixing_s: number;
  };
  readonly elevator: {
    readonly chain_m_s: number;
    /** Engine wobble, fraction of chain speed. */
    readonly wobble: number;
    /** Slip at 10 kg/s, fraction of chain speed. */
    readonly slip: number;
    /** Heap volume = factor·(1 + bend·(h/40 mm − 1))·A·h. */
    readonly shape_factor: number;
    readonly shape_bend: number;
    readonly height_noise: number;
    /** Slow wander of all heaps about their height (grain that packs otherwise, dust, straw), standard deviation as a share. */
    readonly height_wander: number;
    readonly height_noise_mm: number;
    /** Scatter of the paddle's underside about its place on the chain. */
    readonly edge_jitter_mm: number;
  };
  readonly receiver: {
    readonly rate_hz: 1 | 2 | 5 | 10;
    readonly fix: 'rtk' | 'differential';
    readonly talker: 'GP' | 'GN';
    readonly vtg: boolean;
    /** Multiplies every position, speed and delay error; 0 for a perfect receiver. */
    readonly noise: number;
  };
  readonly logger: {
    /** Counter when the first log starts. */
    readonly start_tick_us: number;
    readonly drift_ppm: number;
    readonly header_switch: boolean;
    readonly moisture: boolean;
    readonly moisture_noise_pct: number;
    /** By which every reading of the season is off. */
    readonly moisture_offset_pct: number;
    readonly tilt: boolean;
    readonly tilt_noise_deg: number;
    /**
     * One file a field; beam edges and the rest in two files that share the counter; beam edges with the slow sensors
     * and sentences without ticks (the sheet then names the UTC of tick zero: leave the clock's drift at 0); or a
     * tally log, one row a second, without edges and without damage to its lines.
     */
    readonly files: 'one' | 'beam_and_fixes' | 'beam_and_bare_nmea' | 'tally';
    /** A new file from these minutes on; the counter runs on. */
    readonly split_min: readonly number[];
    readonly gzip: boolean;
    /** Comment and header line, byte order mark and CRLF, all of which the grammar allows. */
    readonly dressing: 'plain' | 'dressed';
  };
}

/** What goes wrong in a log: numbers of events a machine and field. */
export interface DamageSpec {
  /** Lit gaps and dark blips of fractions of a millisecond. */
  readonly chatter_per_s: number;
  readonly missing_edges: number;
  readonly repeated_lines: number;
  /** Neighbouring lines in the wrong order. */
  readonly swapped_lines: number;
  readonly bad_checksums: number;
  /** Lines that end too early. */
  readonly half_lines: number;
  /** Half lines onto which the next line runs without a line end. */
  readonly joined_lines: number;
  readonly nul_runs: number;
  readonly truncated_end: boolean;
  /** Spells without a fix. */
  readonly dropouts: number;
  readonly dropout_s: number;
  /** Single fixes that lie 8 to 40 m off. */
  readonly position_leaps: number;
  /** Minutes after the log's start at which the logger restarts, losing `restart_gap_s`. */
  readonly restart_min: readonly number[];
  readonly restart_gap_s: number;
  /** 'same' file or 'new' file after a restart. */
  readonly restart_file: 'same' | 'new';
  /** [from, to] minutes after the log's start without moisture. */
  readonly moisture_out_min: readonly (readonly [number, number])[];
}

/** When tanks are emptied and what the scale writes. */
export interface LoadsSpec {
  /** Tank content that the driver keeps below: he unloads at the last end of a pass before it, or not at all when the rest of the field fits within 1.2 times it. */
  readonly load_t: number;
  readonly stand_s: readonly [number, number];
  /** After these loads (from 0, each machine's own count) everything stands still, elevator too, for `rest_s` more. */
  readonly rest_after: readonly number[];
  readonly rest_s: number;
  /** Standard deviation of the scale, fraction of the load. */
  readonly scale_noise: number;
  readonly unit: 'kg' | 'lb' | 't' | 'ston';
  readonly columns: 'net' | 'gross_tare_net';
  readonly with_moisture: boolean;
  readonly with_test_weight: boolean;
  /** A ticket each load, two each load, one each field, or none at all. */
  readonly tickets: 'load' | 'two_a_load' | 'field' | 'none';
  /** Place of the mistyped ticket in the file, −1 for none. */
  readonly mistyped_index: number;
  /** Two digits change places (the pair that changes most, up to 30 %), or a share is added. */
  readonly mistype: 'transposed' | number;
  /** Share of the loads that are weighed and have a ticket, drawn by lot, four at least; 1 for all. */
  readonly weighed_share: number;
  readonly first_number: number;
}

/** A whole scene. */
export interface SceneSpec {
  readonly name: string;
  readonly seed: number;
  readonly units: 'us' | 'metric';
  readonly fields: readonly FieldSpec[];
  readonly machines: readonly MachineSpec[];
  readonly damage: DamageSpec;
  readonly loads: LoadsSpec;
  /** So many faults of each kind (planned-faults.ts) are planted within passes, a machine and field; none when absent. */
  readonly faults_each?: number;
  /** What else a user would have entered. */
  readonly sheet?: Pick<Season, 'comparisons' | 'settings'>;
}
