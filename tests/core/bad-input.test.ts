/** Bad input, each kind by itself: what a grower reads must say what, where and how to mend it. */
import { describe, expect, it } from 'vitest';
import { runPipeline } from '../../core/pipeline.ts';
import type { Season } from '../../core/season.ts';
import { decodeSeason } from '../../core/season-file.ts';
import { scene, simulate } from '../synthetic/index.ts';
import { filesOf, type SeasonFiles, sourcesFrom } from '../synthetic/recovery.ts';

/** A small good season to spoil. */
const good = simulate(
  scene('small')
    .seed(5)
    .field({
      corners: [
        [-90, -110],
        [90, -110],
        [90, 110],
        [-90, 110],
      ],
    })
    .machine({})
    .loads({ load_t: 6 }),
);
const files = filesOf(good);
const sheet = (() => {
  const decoded = decodeSeason(files.texts.get('season.json') ?? '');
  if (!decoded.ok) throw new Error(decoded.error.text);
  return decoded.value;
})();
const LOG = sheet.logs[0].files[0];
const TICKETS = sheet.tickets?.[0] ?? '';
const BOUNDARY = sheet.fields[0].boundary ?? '';
const FIELD = sheet.fields[0].name;

const bytes = (text: string) => new TextEncoder().encode(text);
const logText = new TextDecoder().decode(files.logs.get(LOG));
const ticketText = files.texts.get(TICKETS) ?? '';

function run(season: Season, change: { log?: Uint8Array; tickets?: string; boundary?: string }) {
  const spoiled: SeasonFiles = {
    hashes: files.hashes,
    logs: new Map([...files.logs, ...(change.log ? [[LOG, change.log] as const] : [])]),
    texts: new Map([
      ...files.texts,
      ...(change.tickets !== undefined ? [[TICKETS, change.tickets] as const] : []),
      ...(change.boundary !== undefined ? [[BOUNDARY, change.boundary] as const] : []),
    ]),
  };
  return runPipeline(season, sourcesFrom(spoiled, season), {
    progress: () => {},
    shouldStop: () => false,
    generated_by: 'test',
  });
}

/** An NMEA sentence with its checksum. */
function sentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

/** Code and sentence of the refusal. */
function refusal(change: Parameters<typeof run>[1], season = sheet): { code: string; text: string } {
  const result = run(season, change);
  if (result.ok) throw new Error('was not refused');
  expect(result.error.text).not.toMatch(/undefined|NaN|\[object|Error:/);
  return result.error;
}

/** Codes and sentences of the warnings of a run that goes on. */
function warnings(change: Parameters<typeof run>[1], season = sheet) {
  const result = run(season, change);
  if (!result.ok) throw new Error(`refused: ${result.error.text}`);
  for (const { text } of result.value.summary.warnings) expect(text).not.toMatch(/undefined|NaN|\[object/);
  return { codes: result.value.summary.warnings.map(({ code }) => code), ...result.value };
}

describe('a good season', () => {
  it('raises no word of alarm', () => {
    // the last load of so small a field is small indeed
    expect(warnings({}).codes.filter((code) => code !== 'small_load')).toEqual([]);
  });
});

describe('logs that cannot be used', () => {
  it('an empty file', () => {
    const { code, text } = refusal({ log: new Uint8Array() });
    expect(code).toBe('empty_file');
    expect(text).toContain(LOG);
  });

  it('a photo', () => {
    const photo = Uint8Array.of(
      0xff,
      0xd8,
      0xff,
      0xe0,
      0,
      0x10,
      0x4a,
      0x46,
      0x49,
      0x46,
      ...new Uint8Array(500),
    );
    const { text } = refusal({ log: photo });
    expect(text).toMatch(/photo|picture|image|JPEG/i);
    expect(text).toContain(LOG);
  });

  it('a letter', () => {
    const { text } = refusal({ log: bytes('Dear Sir,\nthank you for the scale tickets.\nYours\n') });
    expect(text).toContain(LOG);
  });

  it('no fixes at all', () => {
    const { code, text } = refusal({ log: bytes(logText.replaceAll(/^\d+,\$.*\n/gm, '')) });
    expect(code).toBe('no_fixes');
    expect(text).toContain('GPS');
  });

  it('no fixes, and why: the receiver had none, or its sentences are damaged or bare of checksums', () => {
    const unfixed = logText.replaceAll(
      /\$(G.*)\*..\n/g,
      (_, body: string) => `${sentence(body.replace(',A,', ',V,').replace(',W,4,', ',W,0,'))}\n`,
    );
    expect(refusal({ log: bytes(unfixed) }).text).toMatch(
      /not one GPS position.*Found instead: .*no valid position/,
    );
    const damaged = logText.replaceAll(/\*..\n/g, '*00\n');
    expect(refusal({ log: bytes(damaged) }).text).toMatch(/Found instead: .*wrong checksum/);
    const bare = logText.replaceAll(/\*..\n/g, '\n');
    expect(refusal({ log: bytes(bare) }).text).toMatch(/Found instead: .*no checksum/);
  });

  it('no edges at all', () => {
    const { code, text } = refusal({ log: bytes(logText.replaceAll(/^\d+,[01]\n/gm, '')) });
    expect(code).toBe('no_edges');
    expect(text).toMatch(/beam/);
  });

  it('a beam that is always dark', () => {
    let first = true;
    const dark = logText.replaceAll(/^\d+,[01]\n/gm, (line) => {
      const keep = first && line.endsWith(',1\n');
      if (keep) first = false;
      return keep ? line : '';
    });
    const { code, text } = refusal({ log: bytes(dark) });
    expect(code).toBe('no_edges');
    expect(text).toMatch(/always dark/);
  });

  it('a counter of milliseconds', () => {
    const { code, text } = refusal({ log: bytes(logText.replaceAll(/^(\d+)\d{3},/gm, '$1,')) });
    expect(code).toBe('wrong_tick_unit');
    expect(text).toContain('1000 times too slowly');
    expect(text).toContain(LOG);
  });

  it('GPS times without a date', () => {
    const { code, text } = refusal({ log: bytes(logText.replaceAll(/^\d+,\$G.RMC.*\n/gm, '')) });
    expect(code).toBe('beam_without_clock');
    expect(text).toMatch(/carry no date.*RMC or ZDA/);
  });

  it('a log that ends before the harvest', () => {
    const { text } = refusal({ log: bytes(logText.split('\n').slice(0, 300).join('\n')) });
    expect(text).toMatch(/whether the logs hold the harvest: they cover 1 min/);
  });

  it('a beam logged the wrong way round is read right, with a word', () => {
    const inverted = logText.replaceAll(/^(\d+),([01])$/gm, (_, tick, dark) => `${tick},${1 - dark}`);
    const wrong = warnings({ log: bytes(inverted) });
    const right = warnings({});
    expect(wrong.codes).toContain('beam_inverted');
    expect(wrong.summary.fields).toEqual(right.summary.fields);
  });

  it('a log of another season', () => {
    const older = ticketText.replaceAll('2026-', '2024-').replaceAll('2025-', '2023-');
    const { code, text } = refusal({ tickets: older });
    expect(code).toBe('log_of_another_season');
    expect(text).toContain(LOG);
  });
});

describe('tickets that mislead', () => {
  it('pounds entered as kilograms are caught by the implausible gain', () => {
    const header = ticketText.split('\n')[0];
    expect(header).toContain('_kg');
    const rows = ticketText.split('\n').slice(1);
    const columns = header.split(',');
    const inPounds = rows.map((row) =>
      row
        .split(',')
        .map((cell, c) =>
          /(gross|tare|net)_kg/.test(columns[c] ?? '') && cell !== ''
            ? String(Math.round(Number(cell) * 2.20462))
            : cell,
        )
        .join(','),
    );
    const { codes, summary } = warnings({ tickets: [header, ...inPounds].join('\n') });
    expect(codes).toContain('implausible_gain');
    expect(summary.warnings.find(({ code }) => code === 'implausible_gain')?.text).toMatch(/lb|pound/);
  });

  it('windows that overlap are named', () => {
    const columns = ticketText.split('\n')[0].split(',');
    const start = columns.indexOf('start');
    const lines = ticketText.trimEnd().split('\n');
    const second = lines[2].split(',');
    second[start] = lines[1].split(',')[start];
    const spoiled = [lines[0], lines[1], second.join(','), ...lines.slice(3)].join('\n');
    const { codes, summary } = warnings({ tickets: spoiled });
    const overlap = codes.find((code) => code.includes('overlap'));
    expect(overlap).toBeDefined();
    const text = summary.warnings.find(({ code }) => code === overlap)?.text ?? '';
    expect(text).toContain(lines[1].split(',')[columns.indexOf('ticket')]);
  });

  it('no tickets at all leave an uncalibrated result that says so', () => {
    const { codes, summary } = warnings({}, { ...sheet, tickets: [] });
    expect(codes).toContain('uncalibrated');
    expect(summary.calibrations[0]).toMatchObject({ model: 'uncalibrated', coefficients: { k: 1 } });
  });

  it('a file that is no ticket list', () => {
    const { text } = refusal({ tickets: 'name,colour\nred,blue\n' });
    expect(text).toContain(TICKETS);
    expect(text).toMatch(/net/);
  });
});

describe('fields that do not fit', () => {
  const shifted = (east_deg: number, north_deg: number) =>
    (files.texts.get(BOUNDARY) ?? '').replaceAll(
      /\[(-?\d+\.\d+),\s*(-?\d+\.\d+)\]/g,
      (_, lon, lat) => `[${Number(lon) + east_deg},${Number(lat) + north_deg}]`,
    );

  it('a boundary in the wrong place', () => {
    const { text } = refusal({ boundary: shifted(1.5, 0) });
    expect(text).toContain(BOUNDARY);
    expect(text).toMatch(/km/);
  });

  it('a boundary that was shifted by half a field', () => {
    const { codes } = warnings({ boundary: shifted(0.001, 0) });
    expect(codes).toContain('much_outside_boundary');
  });

  it('an outline whose corners are in the wrong order', () => {
    const outline = JSON.parse(files.texts.get(BOUNDARY) ?? '');
    const [ring] = outline.features[0].geometry.coordinates;
    [ring[1], ring[2]] = [ring[2], ring[1]];
    expect(warnings({ boundary: JSON.stringify(outline) }).codes).toContain('outline_crosses_itself');
  });

  it('an outline in another format', () => {
    const { code, text } = refusal({ boundary: '<?xml version="1.0"?><kml></kml>' });
    expect(code).toBe('not_geojson');
    expect(text).toMatch(/XML.*save the outline as GeoJSON/);
  });

  it('two fields without boundaries of which no log speaks', () => {
    const bare = { name: 'A', crop: 'corn' };
    const { text } = refusal({}, { ...sheet, fields: [bare, { ...bare, name: 'B' }] });
    expect(text).toMatch(/^A: it has no boundary, nor has "B".*write "field": "A"/);
  });

  it('a sheet without fields', () => {
    expect(refusal({}, { ...sheet, fields: [] }).text).toContain('"fields" lists no field');
  });

  it('an unknown crop', () => {
    const fields = [{ ...sheet.fields[0], crop: 'cron' }];
    const { code, text } = refusal({}, { ...sheet, fields });
    expect(code).toBe('unknown_crop');
    expect(text).toContain(FIELD);
    expect(text).toContain('corn');
  });
});

describe('yields that cannot be', () => {
  it('a header of a few inches', () => {
    const machines = [{ ...sheet.machines[0], header: { width_m: 0.3 } }];
    expect(warnings({}, { ...sheet, machines }).codes).toContain('implausible_yield');
  });
});

describe('cancelling', () => {
  it('ends the run with nothing made', () => {
    let asked = 0;
    const result = runPipeline(sheet, sourcesFrom(files, sheet), {
      progress: () => {},
      shouldStop: () => ++asked > 2,
      generated_by: 'test',
    });
    expect(result.ok ? '' : result.error.code).toBe('cancelled');
  });
});
