/** Ledger rows summed to the threads of the mass ribbon. */
import { type LedgerRow, SCREENING_RULES } from '../../core/result.ts';
import { ruleWords } from '../text/words.ts';
import type { MassThread } from './types.ts';

export interface RibbonThread {
  readonly thread: MassThread;
  readonly words: string;
  readonly mass_kg: number;
  /** `lost`: never was in this field's crop; `screened`: was, and is not on the map. */
  readonly kind: 'lost' | 'screened';
  /** Number of the token that colours it. */
  readonly tone: number;
}

export interface Ribbon {
  readonly beam_kg: number;
  readonly mapped_kg: number;
  /** In the order in which grain leaves; none without grain. */
  readonly threads: readonly RibbonThread[];
}

const TONES = 4;

/** Threads of the given rows together; rules that the program does not know come last. */
export function ribbonThreads(ledger: readonly LedgerRow[]): Ribbon {
  const sum = (of: (row: LedgerRow) => number) => ledger.reduce((all, row) => all + of(row), 0);
  const known: readonly string[] = SCREENING_RULES;
  const rules = [...new Set([...known, ...ledger.flatMap((row) => Object.keys(row.screened_kg))])];
  const lost = [
    { thread: 'not_cutting', words: ruleWords('not_cutting'), mass_kg: sum((row) => row.not_cutting_kg) },
    {
      thread: 'outside_field',
      words: ruleWords('outside_field'),
      mass_kg: sum((row) => row.outside_field_kg),
    },
  ] as const;
  const screened = rules.map((rule) => ({
    thread: `screened:${rule}` as const,
    words: ruleWords(rule),
    mass_kg: sum((row) => row.screened_kg[rule] ?? 0),
  }));
  return {
    beam_kg: sum((row) => row.beam_kg),
    mapped_kg: sum((row) => row.mapped_kg),
    threads: [
      ...lost.map((one, i) => ({ ...one, kind: 'lost' as const, tone: i })),
      ...screened
        .filter(({ mass_kg }) => mass_kg > 0)
        .map((one, i) => ({ ...one, kind: 'screened' as const, tone: i % TONES })),
    ].filter(({ mass_kg }) => mass_kg > 0),
  };
}
