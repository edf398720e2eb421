import { describe, expect, it } from 'vitest';
import { decodeSeason } from '../../core/season-file.ts';
import { edited, errorOf, MINIMAL_SHEET, seasonOf } from './season-file-fixture.ts';

describe('decodeSeason: a sound sheet', () => {
  it('reads the minimal sheet of the contract without a notice', () => {
    const decoded = decodeSeason(MINIMAL_SHEET);
    expect(decoded.ok && decoded.notices).toEqual([]);
    expect(seasonOf(MINIMAL_SHEET).machines[0].paddle?.pitch_mm).toBe(203.2);
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
    expect(seasonOf(`\uFEFF${MINIMAL_SHEET.replaceAll('\n', '\r\n')}`).name).toBe('Kestrel Flats 2026');
  });

  it('is frozen, down to the last list', () => {
    const season = seasonOf(MINIMAL_SHEET);
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
    const sheet = JSON.parse(MINIMAL_SHEET);
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
      '"pitch_mm": 20.32',
      'season.json, line 7: machines[0].paddle.pitch_mm is 20.32, expected 50 to 600 mm; it looks like centimetres (20.32 cm = 203.2 mm).',
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

describe('decodeSeason: rules', () => {
  it('names a mistyped number of a rule, which would change nothing', () => {
    const sheet = edited(
      '"tickets": [',
      '"settings": { "screening": { "slow": { "on": true, "sped_min_m_s": 0.8 } } },\n  "tickets": [',
    );
    const decoded = decodeSeason(sheet);
    expect(decoded.notices.map(({ text }) => text)).toEqual([
      'season.json, line 14: settings.screening.slow.sped_min_m_s is not a number of this rule; it is kept and has no effect. Did you mean "speed_min_m_s"?',
    ]);
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
      '"tickets/tickets.csv"',
      '"boundaries/home.geojson"',
      'season.json, line 12: fields[0].boundary lists "boundaries/home.geojson" as a boundary, and tickets[0] lists it as a ticket list; correct the one that is wrong.',
    ],
    [
      '"boundaries/home.geojson"',
      '"./logs//combine.log"',
      'season.json, line 12: fields[0].boundary lists "./logs//combine.log" as a boundary, and logs[0].files[0] lists it as a log; correct the one that is wrong.',
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

  it('names the nearest crop when it does not know one, and says how to add it', () => {
    expect(errorOf(edited('"crop": "corn"', '"crop": "crn"'))).toMatch(
      /^season\.json, line 12: fields\[0\]\.crop cannot be used\. Crop "crn" is not known; did you mean "corn"\?.*"crops": \[/,
    );
  });

  it('lets no two machines share an id, nor two fields a name', () => {
    const sheet = JSON.parse(MINIMAL_SHEET);
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
