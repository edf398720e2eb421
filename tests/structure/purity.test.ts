import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sourceFiles, TOP, withoutProse } from './source-files.ts';

/**
 * What would make a result depend on when, where or on which machine it was computed, or tie the core to one host.
 * Most of it the compiler refuses already (core/tsconfig.json knows neither Node nor DOM); this names the rest.
 */
const BANNED: readonly (readonly [string, RegExp])[] = [
  ['the clock', /\bDate\s*\.|\bnew\s+Date\b|\bDate\s*\(|\bperformance\s*\.|\bTemporal\b/],
  ['randomness', /\bMath\s*\.\s*random\b|\bcrypto\s*\./],
  ['timers', /\b(setTimeout|setInterval|setImmediate|queueMicrotask|requestAnimationFrame)\b/],
  ['Node', /\bprocess\s*\.|\bBuffer\b|\brequire\s*\(|\b__dirname\b|\bglobal\s*\./],
  [
    'the DOM',
    /\bdocument\s*\.|\bglobalThis\b|\bnavigator\s*\.|\bfetch\s*\(|\bTextDecoder\b|\bTextEncoder\b|\blocalStorage\b/,
  ],
  ['the locale', /\btoLocale\w*\b|\blocaleCompare\b|\bIntl\b/],
  ['code made at run time', /\beval\s*\(|\bnew\s+Function\b|\bimport\s*\(/],
  ['holes in the types', /:\s*any\b|\bas\s+any\b|<any>|@ts-(ignore|expect-error|nocheck)/],
];

describe('the core is pure', () => {
  const core = sourceFiles('core');

  for (const [what, pattern] of BANNED) {
    it(`does without ${what}`, () => {
      const found = core.flatMap((file) => {
        const match = pattern.exec(file.code);
        return match ? [`${file.path}: ${match[0]}`] : [];
      });
      expect(found).toEqual([]);
    });
  }

  it('compiles without Node and DOM', () => {
    const config = JSON.parse(readFileSync(join(TOP, 'core/tsconfig.json'), 'utf8'));
    expect(config.compilerOptions).toMatchObject({ lib: ['ES2023'], types: [] });
  });

  it('is judged on code, not on prose', () => {
    const prose = [
      '// Date.now()',
      "const a = 'Date.now()'; /* Math.random */",
      '`$',
      '{Date.now()} process.exit`',
    ];
    expect(withoutProse(`${prose[0]}\n${prose[1]} ${prose[2]}${prose[3]}`)).toBe(
      " \nconst a = '';   (Date.now())",
    );
  });
});

describe('types have no holes anywhere', () => {
  it('neither in the host, nor the window, nor the tests', () => {
    const files = ['electron', 'renderer', 'tests'].flatMap((folder) => sourceFiles(folder));
    const [, pattern] = BANNED[BANNED.length - 1];
    const found = files.filter(
      (file) => file.path !== 'tests/structure/purity.test.ts' && pattern.test(file.code),
    );
    expect(found.map((file) => file.path)).toEqual([]);
  });
});
