import { describe, expect, it } from 'vitest';
import type { FileInspection } from '../../../core/import/file-inspection.ts';
import {
  createFileInspector,
  type InspectionOptions,
  inspectFile,
} from '../../../core/import/inspect-file.ts';
import { bytesOf } from '../read/log-text.ts';
import { tableText } from './made-flow-log.ts';
import { fixed, iso, lat, lon, moist, rows, STYLES } from './table-styles.ts';

const OPTIONS: InspectionOptions = { decode: (bytes) => new TextDecoder().decode(bytes) };
const inspect = (text: string, patch: Partial<InspectionOptions> = {}): FileInspection =>
  inspectFile('some.file', bytesOf(text), { ...OPTIONS, ...patch });

const TABLE = STYLES['inches, pounds and seconds in brackets'];

describe('inspectFile', () => {
  it('tally logs: rows, span, days by the sun', () => {
    // 22:00 by the sun at 93.5° west is four o'clock the next day in UTC
    const found = inspect(
      'time,paddles,dark_ms,lat,lon\n2026-10-07T04:10:00Z,8,200,42,-93.5\n2026-10-07T04:10:05Z,9,210,42.0001,-93.5\n',
    );
    expect(found).toMatchObject({ kind: 'tally_log', lines: 3, days: ['2026-10-06'] });
    expect(found.content).toMatchObject({ kind: 'rows', rows: 2 });
  });

  it('tickets: the time that their loads span', () => {
    const found = inspect('ticket,start,end,net_kg\n7,2026-10-06T14:00:00Z,2026-10-06T15:00:00Z,9000\n');
    expect(found).toMatchObject({
      kind: 'tickets',
      lines: 2,
      first_utc_s: 1_791_295_200,
      last_utc_s: 1_791_298_800,
    });
    expect(found.content.kind === 'tickets' && found.content.tickets).toHaveLength(1);
  });

  it('boundaries: one field a name, with crop', () => {
    const ring = [
      [-94, 42],
      [-93.99, 42],
      [-93.99, 42.01],
      [-94, 42],
    ];
    const feature = (properties: object) => ({
      type: 'Feature',
      properties,
      geometry: { type: 'Polygon', coordinates: [ring] },
    });
    const features = [
      feature({ Field_Name: 'North', CROP: 'corn' }),
      feature({ Field_Name: 'South' }),
      feature({ Field_Name: 'north', CROP: 'corn' }),
      {
        type: 'Feature',
        properties: { name: 'a well' },
        geometry: { type: 'Point', coordinates: [-94, 42] },
      },
    ];
    const found = inspect(JSON.stringify({ type: 'FeatureCollection', features }));
    if (found.content.kind !== 'boundary') throw new Error(found.content.kind);
    expect(
      found.content.outlines.map(({ name, crop, boundary }) => [name, crop, boundary.polygons.length]),
    ).toEqual([
      ['North', 'corn', 2],
      ['South', undefined, 1],
    ]);
    expect(found.notices.map(({ code }) => code)).toContain('geometry_ignored');
  });

  it('tables: through the guessed mapping, or through the one that is remembered or given', () => {
    const guessed = inspect(TABLE.text);
    if (guessed.content.kind !== 'table') throw new Error(guessed.content.kind);
    const { mapping, chosen_by, log } = guessed.content;
    expect(chosen_by).toBe('guess');
    expect(log?.rows).toBe(TABLE.rows.length);
    expect(log?.width_m).toBeCloseTo(9.144, 3);
    expect(guessed.days).toEqual(['2026-10-05']);
    const remembered = inspect(TABLE.text, {
      mappings: [{ id: 'last year', ...mapping, columns: mapping?.columns ?? [] }],
    });
    expect(remembered.content).toMatchObject({ chosen_by: 'memory' });
    const own = {
      id: 'mine',
      columns:
        mapping?.columns.map((one) => (one.quantity === 'mass_flow' ? { ...one, unit: 'kg/s' } : one)) ?? [],
    };
    const given = inspect(TABLE.text, { mapping: own });
    expect(given.content).toMatchObject({ chosen_by: 'user', mapping: own });
  });

  it('tables that cannot be told wait, with the guess beside them', () => {
    const text = tableText(rows, [
      ['time', iso],
      ['lon', lon],
      ['lat', lat],
      ['blue', fixed(2, (row) => row.flow_kg_s)],
      ['red', moist],
    ]);
    const found = inspect(text);
    expect(found).toMatchObject({ kind: 'delimited', lines: rows.length + 1 });
    expect(found.error).toBeUndefined();
    expect(found.content).toMatchObject({ kind: 'table', chosen_by: 'nobody', mapping: undefined });
  });

  it('a mapping that does not fit is said, and the file is not lost', () => {
    const found = inspect(TABLE.text, {
      mapping: { id: 'x', columns: [{ quantity: 'longitude', column: 'Longitud' }] },
    });
    expect(found.error?.code).toBe('mapping_column_missing');
    expect(found.content.kind).toBe('table');
  });

  it('says what a file is that holds nothing', () => {
    expect(inspect('').error?.text).toContain('is empty');
    expect(inspect('Dear Sir,\nthe log is lost.\n').error?.code).toBe('unknown_kind');
    const photo = inspectFile('IMG.JPG', Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 1, 2, 3), OPTIONS);
    expect(photo.error?.text).toContain('a photo (JPEG)');
    expect(inspectFile('nul.log', new Uint8Array(200_000), OPTIONS).error).toBeDefined();
  });

  it('sees a log behind a beginning of NUL bytes', () => {
    const log = bytesOf('1000,1\n2000,0\n3000,1\n4000,0\n'.repeat(3));
    const bytes = new Uint8Array(150_000 + log.length);
    bytes.set(log, 150_000);
    const found = inspectFile('a.log', bytes, OPTIONS);
    expect(found.kind).toBe('tick_log');
    expect(found.damage.map(({ kind }) => kind)).toContain('nul_bytes');
  });

  it('makes no difference between one piece and many', () => {
    const files = [TABLE.text, '1000,1\n2000,0\n'.repeat(9000), 'ticket,net_kg\n1,9000\n'];
    for (const text of files) {
      const bytes = bytesOf(text);
      const inspector = createFileInspector('some.file', OPTIONS);
      for (let at = 0; at < bytes.length; at += 777) inspector.push(bytes.subarray(at, at + 777));
      expect(inspector.finish()).toEqual(inspect(text));
    }
  });

  it('takes the kind from the host where it had to unpack or convert', () => {
    const json = '{"type":"Polygon","coordinates":[[[-94,42],[-93.9,42],[-93.9,42.1],[-94,42]]]}';
    const recognised = { kind: 'boundary', reason: 'It is a zipped Shapefile.' } as const;
    expect(inspect(json, { recognised, converted: true })).toMatchObject({ ...recognised, converted: true });
  });
});
