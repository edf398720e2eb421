/** The receiver's moments of all runs on the check's axis of seconds. */
import { concatenate } from '../columns.ts';
import type { FixColumns } from '../read/logger-run.ts';
import type { CheckContext } from './check-context.ts';

export interface Epochs extends Omit<FixColumns, 'tick_us'> {
  /** Seconds on the axis of the timeline; where the file has no counter, of UTC. */
  readonly t_s: Float64Array;
}

export function epochsOf({ log, timeline, counter }: CheckContext): Epochs {
  const fixes = log.runs.map(({ run }) => run.fixes);
  const all = (pick: (columns: FixColumns) => Float64Array) => concatenate(fixes.map(pick));
  const t_s = concatenate(
    log.runs.map(({ run, sentences }, r) => {
      const { tick_us } = run.fixes;
      const first_us = Math.min(
        ...[tick_us[0], sentences.tick_us[0], run.beam.first_us].filter(
          (us) => !Number.isNaN(us) && us !== undefined,
        ),
      );
      return tick_us.map((us, i) =>
        Number.isNaN(us)
          ? run.fixes.utc_s[i] - run.fixes.utc_s[0]
          : timeline.run_s[r].from_s + (us - first_us) * counter.us_per_tick * 1e-6,
      );
    }),
  );
  return {
    t_s,
    utc_s: all(({ utc_s }) => utc_s),
    latitude_deg: all(({ latitude_deg }) => latitude_deg),
    longitude_deg: all(({ longitude_deg }) => longitude_deg),
    altitude_m: all(({ altitude_m }) => altitude_m),
    speed_m_s: all(({ speed_m_s }) => speed_m_s),
    course_deg: all(({ course_deg }) => course_deg),
    quality: all(({ quality }) => quality),
    satellites: all(({ satellites }) => satellites),
    hdop: all(({ hdop }) => hdop),
  };
}
