import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeSeason } from '../../core/season-file.ts';
import { errorOf, MINIMAL_SHEET } from './season-file-fixture.ts';

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
      'season.json, line 1, column 1: the file is empty; it has to begin with { and end with }. Copy it again from where it came.',
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
      'brackets without end',
      `\n${'['.repeat(100_000)}`,
      'season.json, line 2: brackets nest more than 500 deep here; this is no file of this kind.',
    ],
    [
      'a web page',
      '<!doctype html>',
      'season.json, line 1, column 1: this is XML or a web page, not JSON; save it again in the right format.',
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
    const cut = fc.tuple(fc.nat(MINIMAL_SHEET.length), fc.nat(12), fc.string({ maxLength: 6 }));
    fc.assert(
      fc.property(cut, ([at, length, put]) => {
        const decoded = decodeSeason(MINIMAL_SHEET.slice(0, at) + put + MINIMAL_SHEET.slice(at + length));
        if (!decoded.ok) expect(decoded.error.text).toMatch(/^season\.json.*[.?]$/s);
      }),
      { numRuns: 300, seed: 20260921 },
    );
  });
});
