/** How well the beam check names simulated faults: counts over seeds. */
import { type BeamCheck, checkBeam } from '../../core/install/beam-check.ts';
import { readFirstLog } from '../../core/install/first-log.ts';
import type { FaultKind } from './session-faults.ts';
import { type FirstLogCase, soundFirstLog } from './sound-session.ts';

export interface FaultScore {
  readonly name: string;
  readonly seeds: number;
  readonly right_verdict: number;
  /** A cause of the fault among the first two named. */
  readonly named: number;
  /** What went wrong, for people. */
  readonly misses: readonly string[];
}

export function checkCase({ bytes, sheet }: FirstLogCase): BeamCheck {
  const log = readFirstLog('first.log', bytes);
  if (!log.ok) throw new RangeError(log.error.text);
  return checkBeam(log.value, sheet);
}

export function scoreFault(fault: FaultKind, seeds: readonly number[]): FaultScore {
  const misses: string[] = [];
  let right_verdict = 0;
  let named = 0;
  for (const seed of seeds) {
    const check = checkCase(fault.make(seed));
    const isRight = check.verdict === fault.verdict;
    const isNamed = check.causes.slice(0, 2).some((cause) => fault.causes.includes(cause));
    if (isRight) right_verdict++;
    if (isNamed) named++;
    if (!isRight || !isNamed) misses.push(`seed ${seed}: ${shown(check)}`);
  }
  return { name: fault.name, seeds: seeds.length, right_verdict, named, misses };
}

/** Sound logs that were called sound. */
export function scoreSound(seeds: readonly number[]): {
  readonly good: number;
  readonly misses: readonly string[];
} {
  const misses: string[] = [];
  for (const seed of seeds) {
    const check = checkCase(soundFirstLog(seed));
    if (check.verdict !== 'good') misses.push(`seed ${seed}: ${shown(check)}`);
  }
  return { good: seeds.length - misses.length, misses };
}

function shown({ verdict, causes, findings }: BeamCheck): string {
  const graver = findings.filter((finding) => finding.verdict !== 'good');
  return `${verdict}; ${causes.slice(0, 3).join(', ')}; ${graver.map(({ code, verdict: v, figure }) => `${code} ${v} (${figure})`).join('; ')}`;
}
