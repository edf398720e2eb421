/**
 * Before the first acre: a short log, taken while the elevator was turned by hand and then ran empty, read for everything that
 * would cost a season if it were noticed in autumn.
 */
import { beamFindings } from './beam-findings.ts';
import { type CauseCode, likelyCauses } from './causes.ts';
import { chainFindings } from './chain-findings.ts';
import { type CheckSheet, checkContext } from './check-context.ts';
import { counterFindings } from './counter-findings.ts';
import { type Finding, graver, type NotJudged, type Verdict } from './finding.ts';
import type { FirstLog } from './first-log.ts';
import { handFindings } from './hand-findings.ts';
import { skyFindings } from './sky-findings.ts';
import { supplyFindings } from './supply-findings.ts';

export interface BeamCheck {
  readonly source: string;
  readonly verdict: Verdict;
  /** One sentence. */
  readonly summary: string;
  /** The gravest first, then in the order of the signal's way. */
  readonly findings: readonly Finding[];
  /** Most likely first, over all findings. */
  readonly causes: readonly CauseCode[];
  readonly not_judged: readonly NotJudged[];
  /** What was looked at. */
  readonly extent: {
    readonly lines: number;
    readonly by_hand_paddles: number;
    readonly by_hand_s: number;
    readonly under_power_s: number;
    readonly whole_s: number;
  };
}

export function checkBeam(log: FirstLog, sheet: CheckSheet): BeamCheck {
  const context = checkContext(log, sheet);
  const beam = beamFindings(context);
  const isSilent = beam.findings.some(({ code }) => SILENT.has(code));
  const parts = [
    supplyFindings(context),
    beam,
    ...(isSilent ? [] : [handFindings(context), chainFindings(context)]),
    skyFindings(context),
    counterFindings(context),
  ];
  const inOrder = parts.flatMap(({ findings }) => findings);
  const findings = VERDICTS.flatMap((verdict) => inOrder.filter((finding) => finding.verdict === verdict));
  const not_judged = parts.flatMap((part) => part.not_judged);
  const verdict = findings.reduce<Verdict>((worst, finding) => graver(worst, finding.verdict), 'good');
  const { spells } = context.turning;
  const byHand = spells.filter(({ how }) => how === 'by_hand');
  return {
    source: log.source,
    verdict,
    summary: summaryOf(verdict, findings, not_judged),
    findings,
    causes: likelyCauses(findings),
    not_judged,
    extent: {
      lines: log.lines,
      by_hand_paddles: byHand.reduce((sum, { passages }) => sum + passages.trail_s.length, 0),
      by_hand_s: byHand.reduce((sum, { from_s, to_s }) => sum + to_s - from_s, 0),
      under_power_s: context.running.running_s,
      whole_s: context.timeline.run_s.reduce((sum, { from_s, to_s }) => sum + to_s - from_s, 0),
    },
  };
}

const SILENT: ReadonlySet<string> = new Set(['always_dark', 'always_lit', 'no_edges']);
const VERDICTS: readonly Verdict[] = ['mend', 'look', 'good'];

function summaryOf(verdict: Verdict, findings: readonly Finding[], untold: readonly NotJudged[]): string {
  const named = (of: Verdict) =>
    findings
      .filter((finding) => finding.verdict === of)
      .map(({ title }) => title.toLowerCase())
      .join(', ');
  const open =
    untold.length > 0 ? ` Not judged: ${untold.map(({ title }) => title.toLowerCase()).join(', ')}.` : '';
  if (verdict === 'good') return `All that this log can tell is well.${open}`;
  const look = named('look');
  if (verdict === 'look') return `Fit to harvest, but look at: ${look}.${open}`;
  return `Mend before the first acre: ${named('mend')}.${look === '' ? '' : ` Look at: ${look}.`}${open}`;
}
