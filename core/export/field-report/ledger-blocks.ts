/** Where every kilogram that passed the beam went, as a bar to scale and a table. */
import type { LedgerRow } from '../../result.ts';
import { type Block, type TableRow, TYPE_WIDTH } from '../document/document.ts';
import { partsPicture } from '../pictures/load-picture.ts';
import { LOST_TONES, PRINT, SCREENED_TONES } from '../pictures/palette.ts';
import { ABSENT, percent, scaleMass, scaleUnit } from '../report/figures.ts';
import { machineName, type ReportContext } from '../report/report-context.ts';
import { ruleWords } from '../report/rule-marks.ts';

/** With more machines only their sum is shown. */
const MOST_MACHINES = 3;

/** One way that grain can go. */
export interface GrainWay {
  readonly words: string;
  readonly colour: string;
  readonly massOf: (row: LedgerRow) => number;
}

export function ledgerBlocks(rows: readonly LedgerRow[], context: ReportContext): Block[] {
  if (rows.length === 0) return [];
  const unit = scaleUnit(context.system);
  const ways = grainWays(rows);
  const beam_kg = sumOf(rows, (row) => row.beam_kg);
  const shown = rows.length > 1 && rows.length <= MOST_MACHINES ? rows : [];
  const mass = (mass_kg: number) => (mass_kg === 0 ? ABSENT : scaleMass(mass_kg, context.system).number);
  const line = (massOf: (row: LedgerRow) => number) => {
    const all_kg = sumOf(rows, massOf);
    return [...shown.map((row) => mass(massOf(row))), mass(all_kg), percent(all_kg / beam_kg, 2)];
  };
  const table: TableRow[] = [
    ...ways.map(
      ({ words, colour, massOf }): TableRow => ({
        cells: [{ text: words, swatch: colour }, ...line(massOf)],
      }),
    ),
    { cells: ['passed the beam', ...line((row) => row.beam_kg)], tone: 'total' },
  ];
  return [
    {
      kind: 'heading',
      level: 2,
      text: 'Mass ledger',
      aside: `where every ${unit === 'lb' ? 'pound' : 'kilogram'} of grain went`,
    },
    {
      kind: 'figure',
      drawing: partsPicture(
        ways.map(({ colour, massOf }) => ({ share: sumOf(rows, massOf) / beam_kg, colour })),
        TYPE_WIDTH,
      ),
      about: 'Where the grain went, to scale',
    },
    {
      kind: 'table',
      columns: [
        { head: `as harvested, ${unit}`, holds: 'words' },
        ...shown.map(({ machine }) => ({ head: machineName(context, machine), holds: 'number' as const })),
        { head: shown.length > 0 ? 'together' : unit, holds: 'number' },
        { head: 'share', holds: 'number' },
      ],
      rows: table,
    },
    {
      kind: 'paragraph',
      tone: 'quiet',
      text: "Screened grain is missing from the map, not from the totals: a field's total is all grain cut in it over all ground cut in it.",
    },
  ];
}

/** All ways that any row knows, in the order of the screening, one tone each. */
export function grainWays(rows: readonly LedgerRow[]): GrainWay[] {
  const rules = [...new Set(rows.flatMap((row) => Object.keys(row.screened_kg)))];
  const ways: GrainWay[] = [
    { words: 'on the map', colour: PRINT.accent, massOf: (row) => row.mapped_kg },
    ...rules.map((rule, k) => ({
      words: ruleWords(rule),
      colour: SCREENED_TONES[k % SCREENED_TONES.length],
      massOf: (row: LedgerRow) => row.screened_kg[rule] ?? 0,
    })),
    { words: 'outside the field', colour: LOST_TONES[0], massOf: (row) => row.outside_field_kg },
    { words: 'not cutting', colour: LOST_TONES[1], massOf: (row) => row.not_cutting_kg },
  ];
  return ways.filter(({ massOf }) => rows.some((row) => massOf(row) !== 0));
}

export function sumOf<Row>(rows: readonly Row[], amountOf: (row: Row) => number): number {
  return rows.reduce((sum, row) => sum + amountOf(row), 0);
}
