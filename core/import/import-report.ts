/** What came of an import, as window and command show it. */
import type { Notice } from '../errors.ts';
import type { ImportedFile, ImportReport, ImportSpan, MappingGuess } from '../host-contract.ts';
import { isoFromUnix } from '../iso-time.ts';
import type { InspectedTable } from './file-inspection.ts';
import type { FileSpan, ImportPlan, PlannedFile } from './import-plan.ts';

/** Where a file that was taken lies now, or why it could not be copied. */
export type CopyOutcome = { readonly path: string } | { readonly problem: string };

/** `copied` says what became of the candidates that were taken, by id; none of them in a dry run. */
export function importReport(
  plan: ImportPlan,
  copied: ReadonlyMap<string, CopyOutcome>,
  notices: readonly Notice[] = [],
): ImportReport {
  return {
    files: plan.files.map((file) => importedFile(file, copied.get(file.candidate.id))),
    gaps: plan.gaps.map(spanOf),
    overlaps: plan.overlaps.map(spanOf),
    questions: plan.questions,
    notices: [
      ...notices,
      ...plan.notices,
      ...plan.files.flatMap(({ candidate }) => candidate.inspection.notices),
    ],
  };
}

function importedFile(
  { candidate, plan, reason, fields }: PlannedFile,
  copy: CopyOutcome | undefined,
): ImportedFile {
  const { id, sha256, bytes, inspection } = candidate;
  const problem = copy !== undefined && 'problem' in copy ? copy.problem : undefined;
  const taken = plan.outcome === 'take' ? plan : undefined;
  return {
    source_name: id,
    outcome:
      problem !== undefined
        ? 'refused'
        : (
            {
              take: 'imported',
              known: 'already_there',
              needs_mapping: 'needs_mapping',
              refuse: 'refused',
            } as const
          )[plan.outcome],
    path: copy !== undefined && 'path' in copy ? copy.path : null,
    kind: inspection.kind,
    reason: inspection.reason,
    bytes,
    sha256,
    lines: inspection.lines,
    first_utc: isoFromUnix(inspection.first_utc_s),
    last_utc: isoFromUnix(inspection.last_utc_s),
    days: inspection.days,
    machines: taken?.machine === undefined ? [] : [taken.machine],
    machine_reason: reason === '' ? null : reason,
    fields,
    damage: inspection.damage,
    same_as: plan.outcome === 'known' ? plan.same_as : null,
    mapping: inspection.content.kind === 'table' ? mappingOf(inspection.content, taken?.mapping) : null,
    text: problem ?? textOf(plan),
  };
}

function textOf(plan: PlannedFile['plan']): string | null {
  if (plan.outcome === 'take') return null;
  return plan.outcome === 'refuse' ? plan.error.text : plan.text;
}

function mappingOf(table: InspectedTable, id: string | undefined): MappingGuess {
  const { guess } = table;
  const mapping = table.mapping ?? { id: '', ...guess?.mapping, columns: guess?.mapping.columns ?? [] };
  return {
    mapping: { ...mapping, id: id ?? mapping.id },
    header: table.header,
    rows: guess?.firstRows ?? [],
    remembered: table.chosen_by === 'memory',
    columns: guess?.taken ?? [],
    offered: guess?.offered ?? [],
    lacking: guess?.lacking ?? [],
    doubts: guess?.doubts ?? [],
  };
}

function spanOf({ machine, from_utc_s, to_utc_s, files }: FileSpan): ImportSpan {
  return {
    machine,
    first_utc: isoFromUnix(from_utc_s) ?? '',
    last_utc: isoFromUnix(to_utc_s) ?? '',
    files,
  };
}
