/** Where a machine was and whether it worked, thinned to what planning an import needs. */
import { concatenate, Float64Builder } from '../columns.ts';
import { median } from '../stats/quantiles.ts';

/** Columns of equal length in time order. */
export interface TrackSamples {
  readonly utc_s: Float64Array;
  readonly longitude_deg: Float64Array;
  readonly latitude_deg: Float64Array;
  /** NaN where the log does not say. */
  readonly speed_m_s: Float64Array;
  /** 1 harvesting as far as the log can tell, 0 not, NaN where it cannot tell. */
  readonly working: Float64Array;
}

/** What one row of a log says, for thinning. */
export interface TrackRows {
  readonly utc_s: ArrayLike<number>;
  readonly longitude_deg: ArrayLike<number>;
  readonly latitude_deg: ArrayLike<number>;
  readonly speed_m_s: ArrayLike<number>;
  readonly working: ArrayLike<number>;
}

/** A machine at 2 m/s is some 6 m on: finer than any question of an import. */
const STEP_S = 3;
/** Slower is standing, faster is on the road (16 km/h). Common practice, no source. */
const SLOWEST_M_S = 0.3;
const FASTEST_M_S = 4.5;

/**
 * Rows with time and position: the first one in every three seconds of UTC, so that copies of one log are thinned alike. A
 * row that steps back in time is left out.
 */
export function thinSamples(rows: TrackRows): TrackSamples {
  const names = ['utc_s', 'longitude_deg', 'latitude_deg', 'speed_m_s', 'working'] as const;
  const builders = names.map(() => new Float64Builder(256));
  const thinning = new Thinning();
  for (let i = 0; i < rows.utc_s.length; i++) {
    if (!thinning.keeps(rows, i)) continue;
    for (const [k, name] of names.entries()) builders[k].push(rows[name][i]);
  }
  const [utc_s, longitude_deg, latitude_deg, speed_m_s, working] = builders.map((one) => one.toColumn());
  return { utc_s, longitude_deg, latitude_deg, speed_m_s, working };
}

/** Chooses the rows, which may come in several tables one after the other. */
export class Thinning {
  #latest = Number.NEGATIVE_INFINITY;

  keeps(
    { utc_s, longitude_deg, latitude_deg }: Omit<TrackRows, 'speed_m_s' | 'working'>,
    i: number,
  ): boolean {
    const step = Math.floor(utc_s[i] / STEP_S);
    if (!Number.isFinite(longitude_deg[i] + latitude_deg[i]) || !(step > this.#latest)) return false;
    this.#latest = step;
    return true;
  }
}

/** Whether a sample may be harvesting: the log says so, or cannot tell and the speed is one of harvesting. */
export function isHarvesting(samples: TrackSamples, i: number): boolean {
  const speed_m_s = samples.speed_m_s[i];
  const paced = Number.isNaN(speed_m_s) || (speed_m_s >= SLOWEST_M_S && speed_m_s <= FASTEST_M_S);
  return paced && samples.working[i] !== 0;
}

/** A position in the middle of the samples, NaN where there is none; a few thousand of them show it. */
export function middleOf({
  longitude_deg,
  latitude_deg,
}: Pick<TrackSamples, 'longitude_deg' | 'latitude_deg'>): {
  readonly longitude_deg: number;
  readonly latitude_deg: number;
} {
  const step = Math.max(1, Math.floor(longitude_deg.length / SHOWING_SAMPLES));
  const isShowing = (_: number, i: number) => i % step === 0;
  return {
    longitude_deg: median(longitude_deg.filter(isShowing)),
    latitude_deg: median(latitude_deg.filter(isShowing)),
  };
}

const SHOWING_SAMPLES = 2000;

/** Samples of several logs, one after the other. */
export function joinSamples(parts: readonly TrackSamples[]): TrackSamples {
  const column = (name: keyof TrackSamples) => concatenate(parts.map((part) => part[name]));
  return {
    utc_s: column('utc_s'),
    longitude_deg: column('longitude_deg'),
    latitude_deg: column('latitude_deg'),
    speed_m_s: column('speed_m_s'),
    working: column('working'),
  };
}
