/**
 * After calibration, and only when the sheet asks for it: one machine made to agree with another over shared borders, then
 * fields scaled to what they were settled at. What was before is kept beside.
 */

import type { MachineAgreement, Reconciliation } from '../calibration-result.ts';
import type { AgreementSheet, CalibrationSheet, SettlementSheet } from '../calibration-sheet.ts';
import type { Notice } from '../errors.ts';
import { nearestWord } from '../nearest-word.ts';
import type { FieldSummary } from '../result.ts';
import type { ScreenedField } from '../yield/field-points.ts';
import { type FieldSummaryInput, fieldSummaries } from './field-summary.ts';
import { estimateAgreements } from './machine-agreement.ts';
import { rescaleField } from './rescale.ts';

/** A settlement further from the total by the loads than this share is worth a second look: scales and moisture explain a few %. Ours. */
const FAR_SHARE = 0.1;

/** What the adjustments are made from, beside the fields as calibrated. */
export interface AdjustmentInput extends FieldSummaryInput {
  readonly machines: readonly string[];
  readonly sheet: CalibrationSheet | undefined;
}

export interface AdjustedFields {
  readonly fields: readonly ScreenedField[];
  readonly summaries: readonly FieldSummary[];
  readonly agreements: readonly MachineAgreement[];
  readonly notices: readonly Notice[];
}

/** Fields and their summaries after agreement and settlement; as they came in where the sheet asks for neither. */
export function adjustedFields(input: AdjustmentInput): AdjustedFields {
  const { machines, sheet = {} } = input;
  const agreed = agreeMachines(input.fields, machines, sheet);
  const before = fieldSummaries({ ...input, fields: agreed.fields });
  const settled = settleFields(agreed.fields, before, sheet);
  const { reconciled } = settled;
  const summaries =
    reconciled.size === 0 ? before : fieldSummaries({ ...input, fields: settled.fields, reconciled });
  return {
    fields: settled.fields,
    summaries,
    agreements: agreed.agreements,
    notices: [...agreed.notices, ...settled.notices],
  };
}

export interface AgreedFields {
  readonly fields: readonly ScreenedField[];
  readonly agreements: readonly MachineAgreement[];
  readonly notices: readonly Notice[];
}

/** Agreements of machines, applied where asked for: the machine's mass over the ratio, in all fields of that crop. */
export function agreeMachines(
  fields: readonly ScreenedField[],
  machines: readonly string[],
  { agreements: asked = [] }: CalibrationSheet,
): AgreedFields {
  const found = estimateAgreements(
    fields.map(({ points }) => points),
    machines,
  );
  const agreements = found.map((each) => withFactor(each, asked));
  const factors = new Map<string, Map<string, number>>();
  for (const { crop, machine, applied_factor } of agreements) {
    if (applied_factor === 1) continue;
    const own = factors.get(crop) ?? new Map<string, number>();
    own.set(machine, (own.get(machine) ?? 1) * applied_factor);
    factors.set(crop, own);
  }
  return {
    fields: fields.map((field) => rescaleField(field, factors.get(field.points.crop) ?? new Map())),
    agreements,
    notices: [...agreements.flatMap(proposal), ...asked.flatMap((each) => unanswered(each, agreements))],
  };
}

/** The machine that is asked to agree stands first, whichever way round it was found. */
function withFactor(
  found: Omit<MachineAgreement, 'applied_factor'>,
  asked: readonly AgreementSheet[],
): MachineAgreement {
  if (asked.some((each) => each.machine === found.machine && each.with === found.with))
    return { ...found, applied_factor: 1 / found.ratio };
  if (!asked.some((each) => each.machine === found.with && each.with === found.machine))
    return { ...found, applied_factor: 1 };
  const ratio = 1 / found.ratio;
  return {
    ...found,
    machine: found.with,
    with: found.machine,
    ratio,
    ratio_se: found.ratio_se * ratio ** 2,
    applied_factor: found.ratio,
  };
}

function proposal({
  crop,
  machine,
  with: other,
  ratio,
  ratio_se,
  passes,
  proposed,
  applied_factor,
}: MachineAgreement): Notice[] {
  if (!proposed || applied_factor !== 1) return [];
  const off = `${Math.abs(100 * (ratio - 1)).toFixed(1)} % ${ratio > 1 ? 'more' : 'less'}`;
  const text = `${machine} shows ${off} ${crop} than ${other} on ${passes} passes side by side (± ${(100 * ratio_se).toFixed(1)} %). Look at their loads; or let one agree with the other ("agreements" under calibration).`;
  return [{ code: 'machines_disagree', severity: 'look', source: machine, count: 1, text }];
}

function unanswered(asked: AgreementSheet, agreements: readonly MachineAgreement[]): Notice[] {
  if (agreements.some((each) => each.machine === asked.machine && each.with === asked.with)) return [];
  const text = `${asked.machine} was to agree with ${asked.with}, but they did not cut side by side on four passes or more; nothing was changed.`;
  return [{ code: 'agreement_without_evidence', severity: 'look', source: asked.machine, count: 1, text }];
}

export interface SettledFields {
  readonly fields: readonly ScreenedField[];
  /** By name of the field. */
  readonly reconciled: ReadonlyMap<string, Reconciliation>;
  readonly notices: readonly Notice[];
}

/** Fields scaled to their settlements; `summaries` are those of `fields`. A field settled twice keeps the first. */
export function settleFields(
  fields: readonly ScreenedField[],
  summaries: readonly FieldSummary[],
  { settlements = [] }: CalibrationSheet,
): SettledFields {
  const reconciled = new Map<string, Reconciliation>();
  const notices: Notice[] = [];
  for (const settlement of settlements) {
    const known = summaries.filter(({ name }) => settlement.fields.includes(name));
    notices.push(...unknownFields(settlement, summaries), ...settledTwice(settlement, reconciled));
    const own = known.filter(({ name }) => !reconciled.has(name));
    const moisture = settlement.moisture ?? 'standard';
    const massOf = (field: FieldSummary) => (moisture === 'standard' ? field.mass_std_kg : field.mass_wet_kg);
    const total_kg = own.reduce((sum, field) => sum + massOf(field), 0);
    const isWhole = own.length === settlement.fields.length;
    if (!isWhole || !(total_kg > 0)) continue;
    const factor = settlement.settlement_kg / total_kg;
    if (Math.abs(factor - 1) > FAR_SHARE) notices.push(farOff(settlement, factor));
    for (const { name, mass_wet_kg, mass_std_kg } of own)
      reconciled.set(name, {
        fields: settlement.fields,
        settlement_kg: settlement.settlement_kg,
        moisture,
        factor,
        mass_wet_kg,
        mass_std_kg,
      });
  }
  const settled = fields.map((field) => {
    const factor = reconciled.get(field.points.field)?.factor ?? 1;
    return rescaleField(field, new Map(field.plots.map(({ machine }) => [machine, factor])));
  });
  return { fields: settled, reconciled, notices };
}

function unknownFields(settlement: SettlementSheet, summaries: readonly FieldSummary[]): Notice[] {
  const names = summaries.map(({ name }) => name);
  return settlement.fields
    .filter((name) => !names.includes(name))
    .map((name) => {
      const near = nearestWord(name, names);
      const hint = near === undefined ? 'nothing was harvested there' : `did you mean "${near}"`;
      const text = `A settlement names the field "${name}"; ${hint}${near === undefined ? ', and it was left out.' : '? It was left out.'}`;
      return { code: 'settlement_field_unknown', severity: 'mend', source: 'season.json', count: 1, text };
    });
}

function settledTwice(
  settlement: SettlementSheet,
  reconciled: ReadonlyMap<string, Reconciliation>,
): Notice[] {
  const again = settlement.fields.filter((name) => reconciled.has(name));
  if (again.length === 0) return [];
  const text = `${again.join(', ')} stand in two settlements; the first counts, and the second was left out.`;
  return [{ code: 'settled_twice', severity: 'mend', source: 'season.json', count: 1, text }];
}

function farOff({ fields, settlement_kg }: SettlementSheet, factor: number): Notice {
  const text = `${fields.join(', ')}: the settlement of ${settlement_kg} kg is ${factor.toFixed(3)} times the total by the loads. Is it of these fields, all of it, in kg and at the moisture that it says?`;
  return { code: 'settlement_far_off', severity: 'look', source: fields[0], count: 1, text };
}
