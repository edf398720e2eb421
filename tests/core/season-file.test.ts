import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Season } from '../../core/season.ts';
import { decodeSeason, encodeSeason } from '../../core/season-file.ts';

/** The hand-written minimal sheet of the contract. */
const MINIMAL = `{
  "format": "sheaflight-season/1",
  "name": "Kestrel Flats 2026",
  "units": "us",
  "machines": [{
    "id": "c1", "name": "combine 1",
    "paddle":  { "pitch_mm": 203.2, "width_mm": 260, "depth_mm": 150, "thickness_mm": 10, "count": 61 },
    "beam":    { "above_lower_shaft_mm": 1500, "from_back_mm": 75 },
    "antenna": { "ahead_of_cut_m": -3.4, "right_of_centre_m": 0.6 },
    "header":  { "width_m": 9.144, "rows": 12 }
  }],
  "fields":  [{ "name": "Home", "crop": "corn", "boundary": "boundaries/home.geojson", "standard_moisture_pct": 15.5 }],
  "logs":    [{ "machine": "c1", "files": ["logs/combine.log"] }],
  "tickets": ["tickets/tickets.csv"]
}
`;

function seasonOf(text: string): Season {
  const decoded = decodeSeason(text);
  if (!decoded.ok) throw new Error(decoded.error.text);
  return decoded.value;
}

function errorOf(text: string): string {
  const decoded = decodeSeason(text);
  if (decoded.ok) throw new Error('decoded, although it should have been refused');
  return decoded.error.text;
}

/** The minimal sheet with one piece of text replaced by another. */
function edited(from: string, to: string): string {
  if (!MINIMAL.includes(from)) throw new Error(`not in the sheet: ${from}`);
  return MINIMAL.replace(from, to);
}

describe('decodeSeason: a sound sheet', () => {
  it('reads the minimal sheet of the contract without a notice', () => {
    const decoded = decodeSeason(MINIMAL);
    expect(decoded.ok && decoded.notices).toEqual([]);
    expect(seasonOf(MINIMAL).machines[0].paddle?.pitch_mm).toBe(203.2);
  });

  it('does without everything that the contract calls optional', () => {
    const bare = {
      format: 'sheaflight-season/1',
      name: 'bare',
      machines: [{ id: 'c1', name: 'one', header: { width_m: 6 } }],
      fields: [{ name: 'Home', crop: 'wheat' }],
      logs: [{ machine: 'c1', files: ['a.log'] }],
    };
    expect(seasonOf(JSON.stringify(bare))).toEqual(bare);
  });

  it('ignores a byte-order mark and CRLF', () => {
    expect(seasonOf(`\uFEFF${MINIMAL.replaceAll('\n', '\r\n')}`).name).toBe('Kestrel Flats 2026');
  });

  it('is frozen, down to the last list', () => {
    const season = seasonOf(MINIMAL);
    expect(Object.isFrozen(season.logs[0].files)).toBe(true);
    expect(Object.isFrozen(season.machines[0].header)).toBe(true);
  });
});

describe('decodeSeason: unknown keys', () => {
  it('keeps them and warns once each, with the line and the nearest known key', () => {
    const text = edited('"units": "us"', '"units": "us",\n  "notes": "dry autumn", "ticket": []');
    const decoded = decodeSeason(text);
    expect(decoded.ok && decoded.value).toHaveProperty('notes', 'dry autumn');
    expect(decoded.notices.map((notice) => [notice.code, notice.line, notice.count])).toEqual([
      ['unknown_key', 5, 1],
      ['unknown_key', 5, 1],
    ]);
    expect(decoded.notices[1].text).toBe(
      'season.json, line 5: ticket is not a key that this program knows; it is kept and has no effect. Did you mean "tickets"?',
    );
  });

  it('counts the same key in several elements as one warning', () => {
    const sheet = JSON.parse(MINIMAL);
    sheet.fields = [
      { name: 'A', crop: 'corn', colour: 'red' },
      { name: 'B', crop: 'corn', colour: 'blue' },
    ];
    const decoded = decodeSeason(JSON.stringify(sheet));
    expect(decoded.notices.map((notice) => [notice.text.split(' is not')[0], notice.count])).toEqual([
      ['season.json, line 1: fields[0].colour', 2],
    ]);
  });
});

describe('decodeSeason: wrong values are named with path, expectation and finding', () => {
  const cases: readonly [string, string, string][] = [
    [
      '"pitch_mm": 203.2',
      '"pitch_mm": 8',
      'season.json, line 7: machines[0].paddle.pitch_mm is 8, expected 50 to 600 mm; it looks like inches (8 in = 203.2 mm).',
    ],
    [
      '"pitch_mm": 203.2',
      '"pitch_mm": "203.2"',
      'season.json, line 7: machines[0].paddle.pitch_mm is the text "203.2", expected a number without quotes.',
    ],
    [
      '"width_m": 9.144',
      '"width_m": 30',
      'season.json, line 10: machines[0].header.width_m is 30, expected 0.3 to 20 m; it looks like feet (30 ft = 9.144 m).',
    ],
    [
      '"width_m": 9.144',
      '"width_m": 9144',
      'season.json, line 10: machines[0].header.width_m is 9144, expected 0.3 to 20 m; it looks like millimetres (9144 mm = 9.144 m).',
    ],
    [
      '"standard_moisture_pct": 15.5',
      '"standard_moisture_pct": 0.155',
      'season.json, line 12: fields[0].standard_moisture_pct is 0.155, expected 1 to 60 %; it looks like a fraction of 1 (15.5 %).',
    ],
    [
      '"units": "us"',
      '"units": "metrc"',
      'season.json, line 4: units is the text "metrc", expected "us" or "metric"; did you mean "metric"?',
    ],
    [
      '"rows": 12',
      '"rows": 12.5',
      'season.json, line 10: machines[0].header.rows is 12.5, expected a whole number from 1 to 60.',
    ],
    [
      '"files": ["logs/combine.log"]',
      '"files": "logs/combine.log"',
      'season.json, line 13: logs[0].files is the text "logs/combine.log", expected a list in brackets [ ].',
    ],
    [
      '"files": ["logs/combine.log"]',
      '"files": []',
      'season.json, line 13: logs[0].files is a list, expected at least one file.',
    ],
    [
      '"pitch_mm": 203.2, ',
      '',
      'season.json, line 7: machines[0].paddle.pitch_mm is missing: expected a number without quotes.',
    ],
    [
      '"pitch_mm"',
      '"ptich_mm"',
      'season.json, line 7: machines[0].paddle.pitch_mm is missing: expected a number without quotes; line 7 has "ptich_mm", which may be meant for it.',
    ],
    [
      '"c1", "name": "combine 1"',
      '"c1", "name": " "',
      'season.json, line 6: machines[0].name is the text " ", expected a text that is not empty.',
    ],
  ];
  for (const [from, to, sentence] of cases) {
    it(to === '' ? `without ${from}` : to, () => expect(errorOf(edited(from, to))).toBe(sentence));
  }

  it('tells every fault: the first as the error, the others beside it', () => {
    const text = edited('"pitch_mm": 203.2', '"pitch_mm": 8').replace('"width_m": 9.144', '"width_m": 30');
    const decoded = decodeSeason(text);
    expect(decoded.ok).toBe(false);
    expect(decoded.notices.map((notice) => [notice.severity, notice.line])).toEqual([['mend', 10]]);
  });

  it('refuses a UTC time that is none', () => {
    const text = edited('"machine": "c1",', '"machine": "c1", "tick_zero_utc": "2026-02-30T10:00:00Z",');
    expect(errorOf(text)).toContain(
      'logs[0].tick_zero_utc is the text "2026-02-30T10:00:00Z", expected a UTC time such as',
    );
  });
});

describe('decodeSeason: contradictions', () => {
  const cases: readonly [string, string, string][] = [
    [
      '"machine": "c1"',
      '"machine": "north"',
      'season.json, line 13: logs[0].machine names the machine "north", which the sheet does not have; known: "c1".',
    ],
    [
      '"machine": "c1"',
      '"machine": "c1", "field": "Hoem"',
      'season.json, line 13: logs[0].field names the field "Hoem", which the sheet does not have; did you mean "Home"?',
    ],
    [
      '"machine": "c1"',
      '"machine": "c1", "mapping": "x"',
      'season.json, line 13: logs[0].mapping names the mapping "x", which the sheet does not have; the sheet has none.',
    ],
    [
      '["logs/combine.log"]',
      '["logs/combine.log", "./logs/combine.log"]',
      'season.json, line 13: logs[0].files[1] lists "./logs/combine.log" again (first in logs[0].files[0]); list each file once, or its grain counts twice.',
    ],
    [
      '"pitch_mm": 203.2, "width_mm": 260, "depth_mm": 150, "thickness_mm": 10',
      '"pitch_mm": 60, "width_mm": 260, "depth_mm": 150, "thickness_mm": 60',
      'season.json, line 7: machines[0].paddle.thickness_mm with the beam makes 60 mm, which is not less than the pitch of 60 mm; measure both again.',
    ],
    [
      '"from_back_mm": 75',
      '"from_back_mm": 175',
      'season.json, line 8: machines[0].beam.from_back_mm is 175 mm, in front of the paddles, which are 150 mm deep; measure again.',
    ],
    [
      '"logs/combine.log"',
      '"../combine.log"',
      'season.json, line 13: logs[0].files[0] is the text "../combine.log", expected a path that stays inside the season folder (no ..); copy the file into the folder.',
    ],
    [
      '"boundaries/home.geojson"',
      '"/home/me/home.geojson"',
      'season.json, line 12: fields[0].boundary is the text "/home/me/home.geojson", expected a path relative to the season folder, for example logs/combine.log; copy the file into the folder.',
    ],
    [
      '"tickets/tickets.csv"',
      '"C:/tickets.csv"',
      'season.json, line 14: tickets[0] is the text "C:/tickets.csv", expected a path relative to the season folder, for example logs/combine.log; copy the file into the folder.',
    ],
    [
      '"tickets/tickets.csv"',
      '"tickets\\\\tickets.csv"',
      'season.json, line 14: tickets[0] is the text "tickets\\\\tickets.csv", expected a path with forward slashes, for example logs/combine.log.',
    ],
  ];
  for (const [from, to, sentence] of cases) {
    it(to, () => expect(errorOf(edited(from, to))).toBe(sentence));
  }

  it('lets no two machines share an id, nor two fields a name', () => {
    const sheet = JSON.parse(MINIMAL);
    sheet.machines.push({ ...sheet.machines[0], name: 'combine 2' });
    sheet.fields.push({ name: 'Home', crop: 'wheat' });
    const decoded = decodeSeason(JSON.stringify(sheet, null, 2));
    expect(decoded.ok === false && decoded.error.text).toMatch(
      /machines\[1\]\.id repeats the machine id "c1"; give each its own\.$/,
    );
    expect(decoded.notices.map((notice) => notice.text)[0]).toMatch(
      /fields\[1\]\.name repeats the field name "Home"/,
    );
  });

  it('doubts an odd row spacing but goes on', () => {
    const decoded = decodeSeason(edited('"rows": 12', '"rows": 2'));
    expect(decoded.ok).toBe(true);
    expect(decoded.notices.map((notice) => notice.text)).toEqual([
      'season.json, line 10: machines[0].header.rows makes rows 4.57 m apart; check header width and number of rows.',
    ]);
  });
});

describe('decodeSeason: format', () => {
  it('says when a sheet was written by a newer program', () => {
    expect(errorOf(edited('season/1', 'season/2'))).toBe(
      'season.json, line 2: the sheet was written by a newer program (format "sheaflight-season/2", this one reads "sheaflight-season/1"); update this program.',
    );
  });

  it('says when it is something else', () => {
    expect(errorOf('{"name": "x"}')).toBe(
      'season.json, line 1: format is missing, expected "sheaflight-season/1"; without it this is no season sheet.',
    );
    expect(errorOf('[1, 2]')).toBe(
      'season.json: expected a season sheet (an object in braces { }), found a list.',
    );
  });
});

describe('decodeSeason: syntax', () => {
  const cases: readonly [string, string, string][] = [
    [
      'a comma too many',
      '{\n  "a": 1,\n}',
      'season.json, line 3, column 1: there is a comma before the closing bracket; remove it.',
    ],
    [
      'a comma too few',
      '{\n  "a": 1\n  "b": 2\n}',
      'season.json, line 3, column 3: a comma is missing before this.',
    ],
    [
      'a comma too few after a bracket',
      '[{}\n{}]',
      'season.json, line 2, column 1: a comma is missing before this.',
    ],
    [
      'a file cut short',
      '{\n  "a": [1',
      'season.json, line 2, column 9: the file ends too early; a closing } or ] is missing, or the end of the file is lost.',
    ],
    [
      'an empty file',
      '',
      'season.json, line 1, column 1: the file is empty; a season sheet begins with { and ends with }.',
    ],
    [
      'a comment',
      '{ // mine\n}',
      'season.json, line 1, column 3: a comment stands here, and JSON has none; remove it.',
    ],
    [
      'typographic quotes',
      '{ “a”: 1 }',
      'season.json, line 1, column 3: a text stands in other quotes; use the straight double quote ".',
    ],
    [
      'a bare key',
      '{ a: 1 }',
      'season.json, line 1, column 3: a word stands here without quotes; put it between double quotes.',
    ],
    [
      'a missing colon',
      '{ "a" 1 }',
      'season.json, line 1, column 7: a colon is missing between the key and this.',
    ],
    [
      'a semicolon',
      '{ "a": 1; "b": 2 }',
      'season.json, line 1, column 9: a semicolon stands here; use a comma.',
    ],
    [
      'a path with backslashes',
      '{ "a": "logs\\combine.log", "b": "C:\\x" }',
      'season.json, line 1, column 13: a \\ stands inside a text; write file paths with / (for example "logs/combine.log").',
    ],
    [
      'a decimal without its 0',
      '{ "a": .5 }',
      'season.json, line 1, column 8: a number begins with . or +; write it as 0.5.',
    ],
    [
      'NaN',
      '{ "a": NaN }',
      'season.json, line 1, column 8: a number is missing here; write it, or remove the key.',
    ],
    ['True', '{ "a": True }', 'season.json, line 1, column 8: write true, false and null in small letters.'],
    [
      'a text over two lines',
      '{ "a": "x\ny" }',
      'season.json, line 1, column 8: a text is not closed on its line; put the closing double quote.',
    ],
    [
      'a key written twice',
      '{ "a": 1,\n "a": 2 }',
      'season.json, line 2: a is written twice in the same braces; keep one of the two.',
    ],
  ];
  for (const [name, text, sentence] of cases) {
    it(name, () => expect(errorOf(text)).toBe(sentence));
  }

  it('never fails with anything but a sentence, whatever is cut out of or put into a sheet', () => {
    const cut = fc.tuple(fc.nat(MINIMAL.length), fc.nat(12), fc.string({ maxLength: 6 }));
    fc.assert(
      fc.property(cut, ([at, length, put]) => {
        const decoded = decodeSeason(MINIMAL.slice(0, at) + put + MINIMAL.slice(at + length));
        if (!decoded.ok) expect(decoded.error.text).toMatch(/^season\.json.*[.?]$/s);
      }),
      { numRuns: 300, seed: 20260921 },
    );
  });
});

/** Seasons of any content, with unknown keys among the known. */
const word = fc.string({ minLength: 1, maxLength: 12 }).filter((text) => text.trim() !== '');
const file = fc
  .array(fc.stringMatching(/^[a-z0-9][a-z0-9 _-]{0,7}$/), { minLength: 1, maxLength: 3 })
  .map((steps) => steps.join('/'));
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const machine = fc.record(
  {
    id: word,
    name: word,
    header: fc.record(
      { width_m: between(2, 12), rows: fc.integer({ min: 8, max: 16 }) },
      { requiredKeys: ['width_m'] },
    ),
    paddle: fc.record(
      {
        pitch_mm: between(150, 300),
        width_mm: between(100, 400),
        depth_mm: between(90, 200),
        thickness_mm: between(3, 20),
        count: fc.integer({ min: 20, max: 100 }),
      },
      { requiredKeys: ['pitch_mm', 'width_mm', 'depth_mm', 'thickness_mm'] },
    ),
    beam: fc.record(
      { above_lower_shaft_mm: between(500, 2500), from_back_mm: between(10, 90) },
      { requiredKeys: [] },
    ),
    painted: fc.jsonValue(),
  },
  { requiredKeys: ['id', 'name', 'header'] },
);
const season = fc
  .record(
    {
      name: word,
      units: fc.constantFrom('us' as const, 'metric' as const),
      machines: fc.uniqueArray(machine, { minLength: 1, maxLength: 3, selector: (sheet) => sheet.id }),
      fields: fc.uniqueArray(
        fc.record(
          { name: word, crop: word, boundary: file, standard_moisture_pct: between(8, 20) },
          { requiredKeys: ['name', 'crop'] },
        ),
        { maxLength: 4, selector: (sheet) => sheet.name },
      ),
      files: fc.uniqueArray(file, { minLength: 1, maxLength: 4 }),
      tickets: fc.uniqueArray(file, { maxLength: 2 }),
      remarks: fc.jsonValue(),
    },
    { requiredKeys: ['name', 'machines', 'fields', 'files'] },
  )
  .map(({ files, ...rest }) => ({
    format: 'sheaflight-season/1' as const,
    ...rest,
    logs: [{ machine: rest.machines[0].id, files }],
  }));

describe('encodeSeason', () => {
  it('decode ∘ encode is the identity, unknown keys and order of keys included', () => {
    fc.assert(
      fc.property(season, (sheet) => {
        const text = encodeSeason(sheet as unknown as Season);
        const back = seasonOf(text);
        expect(encodeSeason(back)).toBe(text);
        expect(JSON.stringify(back)).toBe(JSON.stringify(sheet));
      }),
      { numRuns: 200, seed: 20260922 },
    );
  });

  it('writes two-space JSON with a newline at the end', () => {
    const text = encodeSeason(seasonOf(MINIMAL));
    expect(text.endsWith('}\n')).toBe(true);
    expect(text.split('\n')[1]).toBe('  "format": "sheaflight-season/1",');
  });

  it('refuses a number that JSON cannot hold', () => {
    const sheet = seasonOf(MINIMAL);
    const broken = { ...sheet, settings: { point_interval_s: Number.NaN } };
    expect(() => encodeSeason(broken)).toThrow(
      new RangeError('a season cannot hold the number NaN (key "point_interval_s")'),
    );
  });
});
