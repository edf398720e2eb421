/** The receiver: fixes, satellites, rate, repeats, jumps while standing, course while moving, date. */

import { median } from '../stats/quantiles.ts';
import type { CauseCode } from './causes.ts';
import type { CheckContext } from './check-context.ts';
import { type Epochs, epochsOf } from './epochs.ts';
import {
  type Evidence,
  type Finding,
  graver,
  type Judged,
  type NotJudged,
  seriesOf,
  type Verdict,
  verdictBeyond,
} from './finding.ts';
import { metresPerDegree } from './small-plane.ts';

/** Epochs without a position, share. */
const LOOK_UNPLACED = 0.04;
const MEND_UNPLACED = 0.5;
/** Dilution and satellites of a good open sky (common practice, no source). */
const LOOK_HDOP = 1.6;
const MEND_HDOP = 5;
const FEW_SATELLITES = 7;
const TOO_FEW_SATELLITES = 4;
const SLOWEST_S = 1.2;
const LOOK_MISSING = 0.03;
const MEND_MISSING = 0.4;
const LOOK_REPEATS = 0.02;
/** Jumps of the position, m, beyond what the speed explains. */
const JUMP_M = 1;
const LOOK_JUMPS = 2;
/** Moving, m/s, so that a course has to be told. */
const MOVING_M_S = 1;
const LOOK_NO_COURSE = 0.2;
const FEWEST = 20;

export function skyFindings(context: CheckContext): Judged {
  const epochs = epochsOf(context);
  if (epochs.t_s.length < FEWEST) return { findings: [silent(context, epochs)], not_judged: [] };
  const judged = [
    fix(epochs),
    sky(epochs),
    rate(epochs),
    repeats(context),
    jumps(epochs),
    course(epochs),
    date(context),
  ];
  return {
    findings: judged.filter((one): one is Finding => 'verdict' in one),
    not_judged: judged.filter((one): one is NotJudged => 'why' in one),
  };
}

function silent({ log }: CheckContext, { t_s }: Epochs): Finding {
  const damaged = log.damage.some(({ kind, count }) => kind === 'bad_checksum' && count > FEWEST);
  const causes: CauseCode[] = damaged
    ? ['serial_noise', 'gps_setup']
    : ['gps_cable', 'gps_setup', 'supply_dropouts'];
  return finding(
    'gps_silent',
    'Receiver',
    'mend',
    `${t_s.length} moments told in the whole log`,
    causes,
    'See whether the receiver’s light is on, its plug home, and its baud rate that of the logger.',
  );
}

function fix(epochs: Epochs): Finding {
  const unplaced = shareOf(epochs.latitude_deg, Number.isNaN);
  const quality = commonest(epochs.quality);
  const verdict = graver(
    verdictBeyond(unplaced, LOOK_UNPLACED, MEND_UNPLACED),
    quality === 1 ? 'look' : 'good',
  );
  const causes: CauseCode[] =
    verdict === 'good'
      ? []
      : unplaced > LOOK_UNPLACED
        ? ['antenna_blocked', 'gps_cable', 'gps_setup']
        : ['no_correction', 'antenna_blocked'];
  const words = QUALITY_WORDS[quality] ?? 'kind not told';
  return finding(
    'gps_fix',
    'Fix',
    verdict,
    `${(100 * (1 - unplaced)).toFixed(1)} % of ${epochs.t_s.length} moments with a position; ${words}`,
    causes,
    'Give the antenna free sky and a sound cable; switch the correction on.',
    {
      title: 'Quality of the fix (0 none, 1 single, 2 differential, 4 fixed, 5 float)',
      x_label: 's',
      y_label: 'quality',
      series: [seriesOf('quality', 'points', epochs.t_s, epochs.quality)],
      levels: [],
    },
  );
}

const QUALITY_WORDS: Readonly<Record<number, string>> = {
  0: 'no fix',
  1: 'single, without correction: metres',
  2: 'differential: decimetres to a metre',
  4: 'fixed: centimetres',
  5: 'float: decimetres',
};

function sky(epochs: Epochs): Finding | NotJudged {
  const title = 'Satellites';
  const placed = (column: Float64Array) => column.filter((_, i) => !Number.isNaN(epochs.latitude_deg[i]));
  const satellites = median(placed(epochs.satellites));
  const hdop = median(placed(epochs.hdop));
  if (Number.isNaN(satellites) && Number.isNaN(hdop))
    return { code: 'gps_sky', title, why: 'no sentence tells of satellites: send GGA' };
  const few: Verdict =
    satellites < TOO_FEW_SATELLITES ? 'mend' : satellites < FEW_SATELLITES ? 'look' : 'good';
  const verdict = graver(few, Number.isNaN(hdop) ? 'good' : verdictBeyond(hdop, LOOK_HDOP, MEND_HDOP));
  const causes: CauseCode[] =
    verdict === 'good' ? [] : ['antenna_blocked', 'antenna_reflections', 'gps_cable'];
  return finding(
    'gps_sky',
    title,
    verdict,
    `${satellites.toFixed(0)} satellites, HDOP ${hdop.toFixed(1)} (medians)`,
    causes,
    'Mount the antenna on the highest flat metal of the cab roof, clear of tank extension and beacons, and look again in the open.',
    {
      title: 'Satellites',
      x_label: 's',
      y_label: 'count',
      series: [seriesOf('satellites', 'line', epochs.t_s, epochs.satellites)],
      levels: [],
    },
  );
}

function rate({ t_s, utc_s }: Epochs): Finding | NotJudged {
  const step_s = utc_s.map((utc, i) => (i > 0 && utc > utc_s[i - 1] ? utc - utc_s[i - 1] : Number.NaN));
  const usual_s = median(step_s);
  if (Number.isNaN(usual_s)) return { code: 'gps_rate', title: 'Rate', why: 'the receiver tells no time' };
  let missing = 0;
  let present = 0;
  for (const step of step_s) {
    if (Number.isNaN(step)) continue;
    present++;
    if (step > 1.5 * usual_s && step < 600) missing += Math.round(step / usual_s) - 1;
  }
  const share = missing / (missing + present);
  const slow: Verdict = usual_s > SLOWEST_S ? 'look' : 'good';
  const verdict = graver(slow, verdictBeyond(share, LOOK_MISSING, MEND_MISSING));
  const causes: CauseCode[] =
    verdict === 'good'
      ? []
      : share > LOOK_MISSING
        ? ['gps_cable', 'serial_noise', 'logger_storage']
        : ['gps_rate_set', 'gps_setup'];
  return finding(
    'gps_rate',
    'Rate',
    verdict,
    `${(1 / usual_s).toFixed(1)} a second, ${(100 * share).toFixed(1)} % of them missing`,
    causes,
    'Five a second serve well. Where moments are missing, check plug, earth and baud rate of the receiver’s line.',
    {
      title: 'Time between moments',
      x_label: 's',
      y_label: 's',
      series: [seriesOf('steps', 'points', t_s, step_s)],
      levels: [{ name: 'usual', y: usual_s }],
    },
  );
}

function repeats({ log }: CheckContext): Finding {
  let told = 0;
  let again = 0;
  for (const { sentences } of log.runs) {
    told += sentences.repeats.length;
    again += sentences.repeats.reduce((sum, one) => sum + one, 0);
  }
  const share = told > 0 ? again / told : 0;
  const verdict: Verdict = share > LOOK_REPEATS ? 'look' : 'good';
  return finding(
    'gps_repeats',
    'Moments told twice',
    verdict,
    `${(100 * share).toFixed(1)} % of the sentences repeat the moment before`,
    verdict === 'good' ? [] : ['gps_repeats', 'gps_setup'],
    'Set the receiver’s output rate to the rate at which it solves.',
  );
}

/** Jumps beyond what the told speed allows, judged where the machine stands or drives steadily. */
function jumps(epochs: Epochs): Finding | NotJudged {
  const { t_s, utc_s, latitude_deg, longitude_deg, speed_m_s } = epochs;
  const plane = metresPerDegree(median(latitude_deg));
  const jump_m = t_s.map((_, i) => {
    if (i === 0 || !(utc_s[i] - utc_s[i - 1] < 3)) return Number.NaN;
    const north = (latitude_deg[i] - latitude_deg[i - 1]) * plane.latitude;
    const east = (longitude_deg[i] - longitude_deg[i - 1]) * plane.longitude;
    const driven = Math.max(speed_m_s[i] || 0, speed_m_s[i - 1] || 0) * (utc_s[i] - utc_s[i - 1]);
    return Math.max(0, Math.hypot(north, east) - driven);
  });
  const judged = jump_m.filter((m) => !Number.isNaN(m));
  if (judged.length < FEWEST)
    return { code: 'gps_jumps', title: 'Place of the antenna', why: 'too few positions follow each other' };
  const noise_m = median(judged);
  const count = judged.filter((m) => m > Math.max(JUMP_M, 8 * noise_m)).length;
  const verdict: Verdict = count > LOOK_JUMPS ? 'look' : 'good';
  return finding(
    'gps_jumps',
    'Place of the antenna',
    verdict,
    `${count} jumps of more than ${JUMP_M} m that no driving explains`,
    verdict === 'good' ? [] : ['antenna_reflections', 'antenna_blocked', 'gps_cable'],
    'Move the antenna away from upright sheet metal and to the top of the cab, on a tight base with metal under it.',
    {
      title: 'Jumps of the position beyond the speed',
      x_label: 's',
      y_label: 'm',
      series: [seriesOf('jumps', 'points', t_s, jump_m)],
      levels: [],
    },
  );
}

function course({ latitude_deg, longitude_deg, utc_s, speed_m_s, course_deg }: Epochs): Finding | NotJudged {
  const plane = metresPerDegree(median(latitude_deg));
  const STEPS = 10;
  let moving = 0;
  let silentOf = 0;
  for (let i = STEPS; i < utc_s.length; i++) {
    const north = (latitude_deg[i] - latitude_deg[i - STEPS]) * plane.latitude;
    const east = (longitude_deg[i] - longitude_deg[i - STEPS]) * plane.longitude;
    const speed = Math.hypot(north, east) / (utc_s[i] - utc_s[i - STEPS]);
    if (!(speed > MOVING_M_S && speed < 20) || speed_m_s[i] < MOVING_M_S / 2) continue;
    moving++;
    if (Number.isNaN(course_deg[i])) silentOf++;
  }
  if (moving < FEWEST)
    return { code: 'gps_course', title: 'Course', why: 'the machine stood: drive a few hundred metres' };
  const share = silentOf / moving;
  const verdict: Verdict = share > LOOK_NO_COURSE ? 'look' : 'good';
  return finding(
    'gps_course',
    'Course',
    verdict,
    `told in ${(100 * (1 - share)).toFixed(0)} % of the moments in motion`,
    verdict === 'good' ? [] : ['gps_setup', 'gps_cable'],
    'Let the receiver send RMC or VTG with the course.',
  );
}

function date({ counter }: CheckContext): Finding {
  const verdict: Verdict = counter.has_time ? 'good' : 'mend';
  return finding(
    'gps_date',
    'Date and time',
    verdict,
    counter.has_time ? 'both told' : 'no sentence tells the date',
    verdict === 'good' ? [] : ['gps_setup', 'antenna_blocked'],
    'Let the receiver send RMC or ZDA: GGA alone has no date.',
  );
}

function finding(
  code: string,
  title: string,
  verdict: Verdict,
  figure: string,
  causes: readonly CauseCode[],
  todo: string,
  evidence?: Evidence,
): Finding {
  return { code, title, verdict, figure, causes, todo: verdict === 'good' ? '' : todo, evidence };
}

function shareOf(column: Float64Array, test: (x: number) => boolean): number {
  return column.reduce((count, x) => count + (test(x) ? 1 : 0), 0) / column.length;
}

function commonest(column: Float64Array): number {
  const counts = new Map<number, number>();
  for (const x of column) if (!Number.isNaN(x)) counts.set(x, (counts.get(x) ?? 0) + 1);
  let most = Number.NaN;
  for (const [x, count] of counts) if (!(count <= (counts.get(most) ?? 0))) most = x;
  return most;
}
