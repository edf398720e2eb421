/** The logger's clock: whether it counts microseconds, its drift, leaps of the time it is told. */
import { MOST_DRIFT_PPM } from '../signal/clock.ts';
import type { CauseCode } from './causes.ts';
import type { CheckContext } from './check-context.ts';
import { type Finding, graver, type Judged, type NotJudged, seriesOf, type Verdict } from './finding.ts';

const FEW_ERRORS = 3;
const MEND_LEAPS = 3;

export function counterFindings({ counter }: CheckContext): Judged {
  const judged = [unit(counter), drift(counter)];
  return {
    findings: judged.filter((one): one is Finding => 'verdict' in one),
    not_judged: judged.filter((one): one is NotJudged => 'why' in one),
  };
}

function unit({ us_per_tick, has_time }: CheckContext['counter']): Finding | NotJudged {
  const title = 'Counter';
  if (!has_time)
    return { code: 'tick_unit', title, why: 'without the receiver’s time its unit cannot be told' };
  const right = us_per_tick === 1;
  return {
    code: 'tick_unit',
    title,
    verdict: right ? 'good' : 'mend',
    figure: right ? 'counts microseconds' : `a count lasts ${us_per_tick} µs; everything here was read so`,
    evidence: undefined,
    causes: right ? [] : ['tick_unit'],
    todo: right ? '' : 'Let the logger write microseconds: milliseconds are too coarse for the beam.',
  };
}

function drift(counter: CheckContext['counter']): Finding | NotJudged {
  const { drift_ppm, drift_se_ppm, leaps, at_s, late_s, span_s } = counter;
  const title = 'Clock';
  if (Number.isNaN(drift_ppm) && leaps === 0)
    return {
      code: 'clock',
      title,
      why: `a minute of date and time is needed; the log has ${span_s.toFixed(0)} s`,
    };
  const isOff = Math.abs(drift_ppm) > MOST_DRIFT_PPM + FEW_ERRORS * drift_se_ppm;
  const leapt: Verdict = leaps === 0 ? 'good' : leaps < MEND_LEAPS ? 'look' : 'mend';
  const verdict = graver(isOff ? 'look' : 'good', leapt);
  const causes: CauseCode[] =
    verdict === 'good' ? [] : isOff ? ['logger_clock'] : ['gps_setup', 'logger_clock', 'logger_storage'];
  const drifts = Number.isNaN(drift_ppm)
    ? ''
    : `drifts by ${drift_ppm.toFixed(0).replace('-', '−')} ± ${drift_se_ppm.toFixed(0)} ppm, `;
  return {
    code: 'clock',
    title,
    verdict,
    figure: `${drifts}${leaps} ${leaps === 1 ? 'leap' : 'leaps'} of time`,
    evidence: {
      title: 'Lateness of the receiver’s moments',
      x_label: 's',
      y_label: 'ms',
      series: [
        seriesOf(
          'moments',
          'points',
          at_s,
          late_s.map((s) => 1000 * s),
        ),
      ],
      levels: [],
    },
    causes,
    todo:
      verdict === 'good' ? '' : 'The program corrects a steady drift; the logger wants a look all the same.',
  };
}
