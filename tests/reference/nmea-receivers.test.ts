/**
 * Eight logs of real receivers against the fixes that a reference decoder gets from them (gpsd test logs, ntpsec/gpsd
 * 46977fa, BSD-2-Clause; read where present, never copied).
 *
 * What the reference does differently, found by reading its reports beside the sentences:
 * - It reports after every sentence, so several times a moment. Until the speed sentence of the moment has come its
 *   reports carry a speed of its own, the step since the last position over the time (9.224 m/s beside a sentence that
 *   says 0.993): speed is compared with the *last* report of each moment, position with all of them.
 * - It has no time before the first RMC or ZDA: its first report of a log may lack it. Those are not matched.
 * - It moves dates by 1024 weeks when it takes them for a GPS week rollover (neo-m8n: 2034 instead of 2015); our time
 *   is the time as sent.
 * - It reports at the end of an epoch, which the last moment of one log (neo-m8n) does not reach.
 */
import { describe, expect, it } from 'vitest';
import { damageCounts, readTickLog } from '../core/read/log-text.ts';
import { referenceText } from './reference-data.ts';

interface Report {
  readonly mode: number;
  readonly time?: string;
  readonly lat: number;
  readonly lon: number;
  readonly altMSL?: number;
  readonly speed?: number;
  readonly track?: number;
}

interface Expectation {
  readonly name: string;
  /** Rows that we get: moments with a valid position. */
  readonly rows: number;
  /** Distinct moments among the timed reports with a position. */
  readonly moments: number;
  /** Weeks by which the reference decoder moved the dates. */
  readonly weeks?: number;
  readonly damage?: Readonly<Record<string, number>>;
}

const LOGS: readonly Expectation[] = [
  // its GGA have wrong checksums throughout: both decoders go by RMC and ZDA alone
  { name: 'firefly-II', rows: 23, moments: 23, damage: { bad_checksum: 23 } },
  { name: 'haicom-305N', rows: 68, moments: 67, damage: { skipped_sentence: 79, bad_fix: 6 } },
  { name: 'neo-m8n', rows: 23, moments: 22, weeks: 1024, damage: { skipped_sentence: 180 } },
  { name: 'nmea-fuzzy-cases', rows: 14, moments: 14, damage: {} },
  { name: 'nmea-rtk', rows: 122, moments: 122, damage: {} },
  { name: 'quectel-eg25-g', rows: 23, moments: 23, damage: { skipped_sentence: 459, bad_fix: 37 } },
  { name: 'rx210', rows: 40, moments: 40, damage: { skipped_sentence: 11, bad_fix: 22 } },
  { name: 'ublox-zed-f9p-nmea', rows: 29, moments: 29, damage: { skipped_sentence: 783 } },
];

const WEEK_MS = 7 * 86_400_000;
const POSITION_TOLERANCE_DEG = 1e-7;
const SPEED_TOLERANCE_M_S = 0.01;

describe.each(LOGS)('$name', ({ name, rows, moments, weeks = 0, damage }) => {
  it('decodes to the reference decoder’s fixes', ({ skip }) => {
    const log = referenceText(`data/nmea/${name}.log`);
    const reports = referenceText(`data/nmea/${name}.tpv.jsonl`);
    if (!log || !reports) return skip('skipped: reference data not present');

    const reading = readTickLog(log);
    expect(reading.runs).toHaveLength(1);
    expect(damageCounts(reading)).toEqual(damage);
    const { fixes } = reading.runs[0];
    expect(fixes.utc_s).toHaveLength(rows);
    const rowAt = new Map(Array.from(fixes.utc_s, (utc_s, row) => [Math.round(utc_s * 1000), row]));

    const lastOf = new Map<number, Report>();
    for (const report of parseReports(reports)) {
      const utc_ms = Date.parse(report.time as string) - weeks * WEEK_MS;
      const row = rowAt.get(utc_ms);
      expect(row, `no row for ${report.time}`).toBeDefined();
      if (row === undefined) continue;
      expect(Math.abs(fixes.latitude_deg[row] - report.lat)).toBeLessThan(POSITION_TOLERANCE_DEG);
      expect(Math.abs(fixes.longitude_deg[row] - report.lon)).toBeLessThan(POSITION_TOLERANCE_DEG);
      lastOf.set(row, report);
    }
    expect(lastOf.size).toBe(moments);
    for (const [row, report] of lastOf) {
      if (report.speed !== undefined) {
        expect(Math.abs(fixes.speed_m_s[row] - report.speed), report.time).toBeLessThan(SPEED_TOLERANCE_M_S);
      }
      if (report.track !== undefined) expect(fixes.course_deg[row]).toBeCloseTo(report.track, 4);
      if (report.altMSL !== undefined) expect(fixes.altitude_m[row]).toBeCloseTo(report.altMSL, 4);
    }
  });
});

/** Reports that have a position (mode 2 or 3) and a time. */
function parseReports(text: string): Report[] {
  return text
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Report)
    .filter(({ mode, time }) => mode >= 2 && time !== undefined);
}
