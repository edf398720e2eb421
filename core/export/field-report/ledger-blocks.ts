/** Where every kilogram that passed the beam went, as a bar to scale and a table. */
import type { FieldSummary, LedgerRow } from '../../result.ts';
import { type Block, type TableRow, TYPE_WIDTH } from '../document/document.ts';
import { partsPicture } from '../pictures/load-picture.ts';
import { LOST_TONES, PRINT, SCREENED_TONES } from '../pictures/palette.ts';
import { ABSENT, grouped, percent, scaleMass, scaleUnit } from '../report/figures.ts';
import { machineName, type ReportContext } from '../report/report-context.ts';
import { ruleWords } from '../report/rule-marks.ts';

/** With more machines only their sum is shown. */
const MOST_MACHINES = 3;

/** One way that grain can go. */
interface GrainWay {
  readonly words: string;
  readonly rule: string;
  readonly colour: string;
  readonly massOf: (row: LedgerRow) => number;
}

/** `counts`: the points of each way, by its rule, where they are those of one field. */
export function ledgerBlocks(
  all: readonly LedgerRow[],
  context: ReportContext,
  counts?: FieldSummary['points'],
): Block[] {
  if (all.length === 0) return [];
  const rows = rowsOfMachines(all);
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
      ({ words, colour, rule, massOf }): TableRow => ({
        cells: [{ text: words, swatch: colour }, ...pointCells(counts, rule), ...line(massOf)],
      }),
    ),
    {
      cells: ['passed the beam', ...pointCells(counts, 'all'), ...line((row) => row.beam_kg)],
      tone: 'total',
    },
  ];
  return [
    {
      kind: 'heading',
      level: 2,
      text: 'Mass ledger',
      aside: `where every ${unit === 'lb' ? 'pound' : 'kilogram'} of grain went`,
    },
    {
      kind: 'paragraph',
      tone: 'quiet',
      keepsWithNext: true,
      text: "Screened grain is missing from the map, not from the totals: a field's total is all grain cut in it over all ground cut in it.",
    },
    {
      kind: 'figure',
      drawing: partsPicture(
        ways.map(({ colour, massOf }) => ({ share: sumOf(rows, massOf) / beam_kg, colour })),
        TYPE_WIDTH,
      ),
      about: 'Where the grain went, to scale',
      keepsWithNext: true,
    },
    {
      kind: 'table',
      columns: [
        { head: `as harvested, ${unit}`, holds: 'words' },
        ...(counts === undefined ? [] : [{ head: 'points', holds: 'number' as const }]),
        ...shown.map(({ machine }) => ({ head: machineName(context, machine), holds: 'number' as const })),
        { head: shown.length > 0 ? 'together' : unit, holds: 'number' },
        { head: 'share', holds: 'number' },
      ],
      rows: table,
    },
  ];
}

/** How many points went that way; no cell where they are not counted. */
function pointCells(counts: FieldSummary['points'] | undefined, rule: string): string[] {
  if (counts === undefined) return [];
  if (rule === 'all') return [grouped(counts.total, 0)];
  return [grouped(rule === 'kept' ? counts.kept : (counts.screened[rule] ?? 0), 0)];
}

/** One row a machine, its fields together. */
function rowsOfMachines(rows: readonly LedgerRow[]): LedgerRow[] {
  const machines = [...new Set(rows.map(({ machine }) => machine))];
  return machines.map((machine) => {
    const own = rows.filter((row) => row.machine === machine);
    const rules = [...new Set(own.flatMap((row) => Object.keys(row.screened_kg)))];
    return {
      field: own[0].field,
      machine,
      beam_kg: sumOf(own, (row) => row.beam_kg),
      mapped_kg: sumOf(own, (row) => row.mapped_kg),
      screened_kg: Object.fromEntries(
        rules.map((rule) => [rule, sumOf(own, (row) => row.screened_kg[rule] ?? 0)]),
      ),
      outside_field_kg: sumOf(own, (row) => row.outside_field_kg),
      not_cutting_kg: sumOf(own, (row) => row.not_cutting_kg),
    };
  });
}

/** All ways that any row knows, in the order of the screening, one tone each. */
function grainWays(rows: readonly LedgerRow[]): GrainWay[] {
  const rules = [...new Set(rows.flatMap((row) => Object.keys(row.screened_kg)))];
  const ways: GrainWay[] = [
    { words: 'on the map', rule: 'kept', colour: PRINT.accent, massOf: (row) => row.mapped_kg },
    ...rules.map((rule, k) => ({
      words: ruleWords(rule),
      rule,
      colour: SCREENED_TONES[k % SCREENED_TONES.length],
      massOf: (row: LedgerRow) => row.screened_kg[rule] ?? 0,
    })),
    {
      words: 'outside the field',
      rule: 'outside_field',
      colour: LOST_TONES[0],
      massOf: (row) => row.outside_field_kg,
    },
    { words: 'not cutting', rule: 'not_cutting', colour: LOST_TONES[1], massOf: (row) => row.not_cutting_kg },
  ];
  return ways.filter(({ massOf }) => rows.some((row) => massOf(row) !== 0));
}

/** Sum of an amount over rows, 0 for none. */
export function sumOf<Row>(rows: readonly Row[], amountOf: (row: Row) => number): number {
  return rows.reduce((sum, row) => sum + amountOf(row), 0);
}
