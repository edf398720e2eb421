/**
 * The mass ledger: where every kilogram that passed the beam went. For each field and machine
 *
 *   beam = mapped + Σ screened(rule) + outside the field + not cutting
 *
 * and it closes to rounding, because every row's mass is in exactly one account and what passed between rows is added
 * to "not cutting".
 */
import { pickRows } from '../columns.ts';
import { type FieldPoints, type LedgerRow, SCREENING_RULES } from '../result.ts';

/** One machine's grain in one field. */
export interface LedgerInput {
  readonly field: string;
  readonly machine: string;
  /** Mass of each of its points and the rule that caught it (0 kept, else 1 + index). */
  readonly mass_kg: Float64Array;
  readonly screened_by: Uint8Array;
  /** What passed the beam between the points. */
  readonly remainder_kg: number;
}

/** One row of the ledger. Rules that caught no mass are left out. */
export function ledgerRow(input: LedgerInput): LedgerRow {
  const accounts = new Float64Array(SCREENING_RULES.length + 1);
  for (let i = 0; i < input.mass_kg.length; i++) accounts[input.screened_by[i]] += input.mass_kg[i];
  const screened_kg: Record<string, number> = {};
  let outside_field_kg = 0;
  let not_cutting_kg = input.remainder_kg;
  SCREENING_RULES.forEach((rule, index) => {
    const mass_kg = accounts[index + 1];
    if (rule === 'not_cutting') not_cutting_kg += mass_kg;
    else if (rule === 'outside_field') outside_field_kg += mass_kg;
    else if (mass_kg !== 0) screened_kg[rule] = mass_kg;
  });
  const mapped_kg = accounts[0];
  const screened = Object.values(screened_kg).reduce((sum, kg) => sum + kg, 0);
  return {
    field: input.field,
    machine: input.machine,
    beam_kg: mapped_kg + screened + outside_field_kg + not_cutting_kg,
    mapped_kg,
    screened_kg,
    outside_field_kg,
    not_cutting_kg,
  };
}

/** What a field's points and plots must say for its rows of the ledger. */
interface LedgerField {
  readonly points: FieldPoints;
  readonly plots: readonly {
    readonly machine: string;
    readonly rows: Int32Array;
    readonly remainder_kg: number;
  }[];
}

/** Ledger of all fields: one row a field and machine. */
export function ledgerOfSeason(fields: readonly LedgerField[]): LedgerRow[] {
  return fields.flatMap(({ points, plots }) =>
    plots.map(({ machine, rows, remainder_kg }) =>
      ledgerRow({
        field: points.field,
        machine,
        mass_kg: pickRows(points.mass_kg, rows),
        screened_by: pickRows(points.screened_by, rows),
        remainder_kg,
      }),
    ),
  );
}
