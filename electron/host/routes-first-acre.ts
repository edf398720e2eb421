/** Routes of what comes before the first acre: a short log is judged, and sheets are kept in a season. */
import { randomUUID } from 'node:crypto';
import { stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import * as z from 'zod';
import { type DataError, failure, type Result, success } from '../../core/errors.ts';
import { checkSheet } from '../../core/export/sheets/check-sheet.ts';
import { placementSheet } from '../../core/export/sheets/placement-sheet.ts';
import type { BeamCheckReply, KeepSheetBody } from '../../core/host-contract.ts';
import { type BeamCheck, checkBeam } from '../../core/install/beam-check.ts';
import type { CheckSheet } from '../../core/install/check-context.ts';
import { checkSheetOf } from '../../core/install/check-measures.ts';
import type { FirstLog } from '../../core/install/first-log.ts';
import { placementOf } from '../../core/install/placement.ts';
import { writeFiles } from './atomic-write.ts';
import { folderNameFrom, plainFileName } from './file-name.ts';
import { readFirstLogFile, readFirstLogPieces } from './first-log-file.ts';
import type { HostServices, RouteHandlers } from './host-services.ts';
import { generatedBy } from './program-version.ts';
import { bytesFault, limitedPieces } from './request-body.ts';
import { checkMeasuresSchema } from './request-schemas.ts';
import { notOpen } from './routes-seasons.ts';
import { fileInside } from './season-folder.ts';

/** A check wants minutes, some hundred kilobytes; half a day is a hundred times that. A choice of ours. */
export const MOST_LOG_BYTES = 256 << 20;
/** Records that wait to be kept. */
const MOST_RECORDS = 8;
const RECORDS = new WeakMap<HostServices, Map<string, BeamCheck>>();

export const FIRST_ACRE_ROUTES: RouteHandlers<'checkBeam' | 'checkSeasonLog' | 'keepSheet'> = {
  checkBeam: async ({ host, steps, query, request }) => {
    const fault = bytesFault(request);
    if (!fault.ok) return fault;
    const sheet = askedSheet(query.get('measures'));
    if (!sheet.ok) return sheet;
    const name = plainFileName(steps.name, 'log');
    const pieces = new BoundedPieces(limitedPieces(request, MOST_LOG_BYTES));
    const log = await readFirstLogPieces(name, pieces);
    return pieces.isTooLong ? failure(tooLong(name)) : judged(host, sheet.value, log);
  },

  checkSeasonLog: async ({ host, steps, body: { path, measures } }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const { store } = session;
    const sheet = checkSheetOf(measures);
    if (!sheet.ok) return sheet;
    const isListed = store.document.logs.some(({ files }) => files.includes(path));
    if (!isListed)
      return failure(problem('no_such_file', path, `${path} is not among the logs of the season.`));
    const file = await fileInside(store.folder, path);
    if (!file.ok) return file;
    if ((await stat(file.value)).size > MOST_LOG_BYTES) return failure(tooLong(path));
    return judged(host, sheet.value, await readFirstLogFile(file.value));
  },

  keepSheet: async ({ host, steps, body }) => {
    const session = host.sessions.get(steps.season);
    if (session === undefined) return failure(notOpen());
    const { store } = session;
    if (store.read_only !== undefined) return failure(store.read_only);
    const made = sheetOf(host, body);
    if (!made.ok) return made;
    const { name, text } = made.value;
    const files = [{ name, pieces: [text] }];
    const written = await writeFiles(join(store.folder, 'out'), files, { layer: store.layer });
    if (!written.ok) return written;
    return success({
      files: written.value.map(({ path, bytes }) => ({ path: `out/${basename(path)}`, bytes })),
    });
  },
};

/** Ends where the bound is reached, and remembers that it was. */
class BoundedPieces implements AsyncIterable<Uint8Array> {
  readonly #pieces: AsyncIterable<Uint8Array | 'too_large'>;
  isTooLong = false;

  constructor(pieces: AsyncIterable<Uint8Array | 'too_large'>) {
    this.#pieces = pieces;
  }

  async *[Symbol.asyncIterator](): AsyncGenerator<Uint8Array> {
    for await (const piece of this.#pieces) {
      if (piece === 'too_large') {
        this.isTooLong = true;
        return;
      }
      yield piece;
    }
  }
}

function judged(host: HostServices, sheet: CheckSheet, log: Result<FirstLog>): Result<BeamCheckReply> {
  if (!log.ok) return log;
  const check = checkBeam(log.value, sheet);
  const record = randomUUID();
  const records = RECORDS.get(host) ?? new Map<string, BeamCheck>();
  RECORDS.set(host, records);
  records.set(record, check);
  for (const old of [...records.keys()].slice(0, Math.max(0, records.size - MOST_RECORDS)))
    records.delete(old);
  return success({ record, check, generated_by: generatedBy() }, log.notices);
}

/** The sheet worked out again from what was measured, and its name, by machine or by log, so that none replaces another's. */
function sheetOf(host: HostServices, body: KeepSheetBody): Result<{ name: string; text: string }> {
  const { machine, paper } = body;
  if (body.kind === 'record') {
    const check = RECORDS.get(host)?.get(body.record);
    if (check === undefined)
      return failure(
        problem('no_such_record', 'record', 'This check is not in memory any more; check the log again.'),
      );
    const text = checkSheet(check, { machine, paper, generated_by: generatedBy() });
    const log = check.source.replace(/(\.[a-z0-9]{1,4})?(\.gz)?$/i, '');
    const name = `beam-check-${folderNameFrom(machine, 'machine')}-${folderNameFrom(log, 'log')}.html`;
    return success({ name, text });
  }
  const { units, measures } = body;
  const placed = placementOf(measures);
  if (!placed.ok) return placed;
  const text = placementSheet(placed.value, measures, { machine, units, paper });
  return success({ name: `placement-${folderNameFrom(machine, 'machine')}.html`, text });
}

function askedSheet(asked: string | null): Result<CheckSheet> {
  let found: unknown;
  try {
    found = JSON.parse(asked ?? '');
  } catch {
    return failure(problem('bad_request', 'measures', 'The measures of the paddles are no JSON.'));
  }
  const measures = checkMeasuresSchema.safeParse(found);
  if (measures.success) return checkSheetOf(measures.data);
  const text = `The measures cannot be used: ${z.prettifyError(measures.error)}.`;
  return failure(problem('bad_request', 'measures', text));
}

function tooLong(name: string): DataError {
  const text = `${name} is larger than ${MOST_LOG_BYTES >> 20} MB; a check needs a few minutes of running, not a season. Take a short log, or cut this one.`;
  return problem('body_too_large', name, text);
}

function problem(code: string, source: string, text: string): DataError {
  return { code, source, text };
}
