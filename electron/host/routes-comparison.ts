/** Routes of what compares: strips, totals and margins of the last build, and files of treatments. */
import { readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { treatmentChoices } from '../../core/analysis/comparison/treatment-file.ts';
import type { ComparisonsReply, TreatmentsBody } from '../../core/analysis/comparison-requests.ts';
import { failure, type Result, success } from '../../core/errors.ts';
import type { SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { comparisonsOf, treatmentText } from './comparisons.ts';
import type { RouteHandlers } from './host-services.ts';
import { importFile } from './import-file.ts';
import { seasonReply } from './replies.ts';
import { notOpen } from './routes-seasons.ts';
import type { BuiltSeason, Session, Upload } from './season-sessions.ts';
import { decodeTextFile } from './text-decoding.ts';

/** The last answer about each result: the window asks again whenever it shows them. */
const KEPT = new WeakMap<SeasonResult, { readonly key: string; readonly reply: Promise<ComparisonsReply> }>();

type ComparisonRoute = 'readComparisons' | 'readTreatments' | 'addTreatments';

export const COMPARISON_ROUTES: RouteHandlers<ComparisonRoute> = {
  readComparisons: async ({ host, steps, query }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const { built, store } = session;
    if (built === undefined) {
      const text = 'This season has not been built yet; build it first.';
      return failure({ code: 'no_result', source: 'season', text });
    }
    return success(
      await keptComparisons(store.folder, store.document, built, query.get('field') ?? undefined),
    );
  },

  readTreatments: async ({ host, steps, query }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const upload = query.get('upload');
    const path = query.get('path');
    if (upload !== null) {
      const sent = sentFile(session, upload);
      if (!sent.ok) return sent;
      const read = await uploadedText(sent.value);
      return read.ok ? treatmentChoices(read.value, sent.value.source_name) : read;
    }
    const read = await treatmentText(session.store.folder, path ?? '');
    return read.ok ? treatmentChoices(read.value, path ?? '') : read;
  },

  addTreatments: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const added = await addTreatments(session, body);
    return added.ok ? success(seasonReply(session, added.notices)) : added;
  },
};

function keptComparisons(
  folder: string,
  season: Season,
  { build, revision, run: { result } }: BuiltSeason,
  field: string | undefined,
): Promise<ComparisonsReply> {
  const { comparisons, settings, units, crops, fields, machines, files } = season;
  const asked = { comparisons, settings, units, crops, fields, machines, files, field, build };
  const key = JSON.stringify(asked);
  const known = KEPT.get(result);
  if (known?.key === key) return known.reply;
  const reply = comparisonsOf(folder, { season, result }, { field }).then(
    (made): ComparisonsReply => ({ ...made, build, built_revision: revision }),
  );
  KEPT.set(result, { key, reply });
  reply.catch(() => KEPT.delete(result));
  return reply;
}

/** The file into `boundaries/`, its record and the comparison into the sheet. What cannot be read is refused before anything is written. */
async function addTreatments(
  session: Session,
  { revision, upload, comparison }: TreatmentsBody,
): Promise<Result<Season>> {
  const { store } = session;
  if (store.read_only !== undefined) return failure(store.read_only);
  const sent = sentFile(session, upload);
  if (!sent.ok) return sent;
  const text = await uploadedText(sent.value);
  if (!text.ok) return text;
  const choices = treatmentChoices(text.value, sent.value.source_name);
  if (!choices.ok) return choices;
  const { path, source_name } = sent.value;
  const copied = await importFile(store.folder, path, {
    into: 'boundaries',
    season: store.document,
    source_name,
  });
  if (!copied.ok) return copied;
  const { record, same_as } = copied.value;
  const file = { path: record.path, ...comparison.file };
  const edited = await store.edit(revision, {
    kind: 'several',
    name: `Comparison ${comparison.name} by ${source_name} in ${comparison.field}`,
    edits: [
      { kind: 'record_files', files: [record] },
      { kind: 'set_comparison', comparison: { ...comparison, file } },
    ],
  });
  if (!edited.ok && same_as === undefined) await rm(join(store.folder, record.path), { force: true });
  return edited;
}

function sentFile({ uploads }: Session, id: string): Result<Upload> {
  const sent = uploads.get(id);
  if (sent !== undefined) return success(sent);
  const text = 'A file that was sent is not here any more; send it again.';
  return failure({ code: 'no_such_upload', source: id, text });
}

async function uploadedText({ path, source_name }: Upload): Promise<Result<string>> {
  const decoded = decodeTextFile(await readFile(path), source_name);
  return decoded.ok ? success(decoded.value.text) : decoded;
}
