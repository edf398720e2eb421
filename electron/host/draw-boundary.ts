/** A boundary that was drawn on the map becomes a new file of the season, and the field's by one edit; older files stay. */
import { randomUUID } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { failure, type Result } from '../../core/errors.ts';
import type { BoundaryBody } from '../../core/host-contract.ts';
import { readBoundary } from '../../core/read/boundaries.ts';
import type { Season } from '../../core/season.ts';
import { drawnBoundaryText, drawnFault } from '../../core/track/drawn-boundary.ts';
import { writeFiles } from './atomic-write.ts';
import { plainFileName } from './file-name.ts';
import { importFile } from './import-file.ts';
import { INCOMING, type Session } from './season-sessions.ts';

/** Refuses rings that cross or are none, writes the others to `boundaries/`, and gives them to the field. */
export async function drawBoundary(
  { store }: Session,
  { revision, field, rings }: BoundaryBody,
): Promise<Result<Season>> {
  if (store.read_only !== undefined) return failure(store.read_only);
  const fault = drawnFault(rings);
  if (fault) return failure({ code: 'bad_boundary', source: field, text: fault.text });
  const text = drawnBoundaryText(rings, field);
  const read = readBoundary(text, 'the drawn boundary');
  if (!read.ok) return read;
  const name = plainFileName(`${field} drawn.geojson`, 'boundary.geojson');
  const waiting = join(store.folder, INCOMING, randomUUID());
  try {
    const written = await writeFiles(waiting, [{ name, pieces: [text] }]);
    if (!written.ok) return written;
    const source = written.value[0].path;
    const copied = await importFile(store.folder, source, { into: 'boundaries', season: store.document });
    if (!copied.ok) return copied;
    const { record, same_as } = copied.value;
    const had = store.document.fields.find((sheet) => sheet.name === field)?.boundary !== undefined;
    const edited = await store.edit(revision, {
      kind: 'several',
      name: `Boundary of ${field} ${had ? 'changed' : 'drawn'} on the map`,
      edits: [
        { kind: 'record_files', files: [record] },
        { kind: 'change_field', name: field, change: { boundary: record.path } },
      ],
    });
    if (!edited.ok && same_as === undefined) await rm(join(store.folder, record.path), { force: true });
    return edited;
  } finally {
    await rm(waiting, { recursive: true, force: true });
  }
}
