/** Text from files stays text: in the report, whatever it says, and in the files for other programs. */
import { type DefaultTreeAdapterTypes, parse } from 'parse5';
import { describe, expect, it } from 'vitest';
import type { Notice } from '../../core/errors.ts';
import { geojsonPieces } from '../../core/export/geojson.ts';
import { reportPieces } from '../../core/export/report/report.ts';
import { summaryText } from '../../core/export/summary-json.ts';
import type { FieldPoints, SeasonResult } from '../../core/result.ts';
import type { Season } from '../../core/season.ts';
import { makeResult, NOTICES, SEASON } from '../core/export/season-fixture.ts';
import { Random } from '../synthetic/random.ts';
import { oneOf } from './byte-mutations.ts';
import { HOSTILE_NUMBERS, HOSTILE_TEXTS } from './hostile-words.ts';

interface Whole {
  readonly season: Season;
  readonly result: SeasonResult;
  readonly notices: readonly Notice[];
}

/** Rows of a field that are drawn: enough for every kind of mark. */
const ROWS = 250;

const made = makeResult();
const whole: Whole = {
  season: SEASON,
  result: { ...made, points: made.points.map(firstRows) },
  notices: NOTICES,
};

function firstRows(points: FieldPoints): FieldPoints {
  const columns = Object.entries(points).map(([name, held]) => [
    name,
    ArrayBuffer.isView(held) ? (held as Float64Array).slice(0, ROWS) : held,
  ]);
  return Object.fromEntries(columns) as FieldPoints;
}

/** Words of the program itself, which decide what is shown and how. */
const OWN_WORDS: ReadonlySet<string> = new Set(['us', 'metric', 'info', 'look', 'mend', SEASON.format]);

/** The same with every text that may come from a file replaced, equal texts by equal ones. */
function reworded<T>(held: T, word: (text: string) => string): T {
  if (typeof held === 'string') return (OWN_WORDS.has(held) ? held : word(held)) as T;
  if (ArrayBuffer.isView(held) || typeof held !== 'object' || held === null) return held;
  if (Array.isArray(held)) return held.map((part) => reworded(part, word)) as T;
  return Object.fromEntries(Object.entries(held).map(([key, part]) => [key, reworded(part, word)])) as T;
}

function plainly(): (text: string) => string {
  const words = new Map<string, string>();
  return (text) => {
    if (!words.has(text)) words.set(text, `word${words.size}`);
    return words.get(text) ?? '';
  };
}

function hostilely(random: Random): (text: string) => string {
  const words = new Map<string, string>();
  return (text) => {
    // a number at the end keeps unequal texts unequal
    if (!words.has(text)) words.set(text, `${hostileText(random)}${words.size}`);
    return words.get(text) ?? '';
  };
}

function hostileText(random: Random): string {
  let text = '';
  for (let i = random.integer(3); i >= 0; i--)
    text += oneOf(oneOf([HOSTILE_TEXTS, HOSTILE_TEXTS, HOSTILE_NUMBERS], random), random);
  return text.slice(0, 300);
}

interface Element {
  readonly tag: string;
  readonly attributes: ReadonlyMap<string, string>;
}

interface Page {
  readonly elements: readonly Element[];
  readonly text: string;
  /** Codes of what a browser would have to put right. */
  readonly faults: readonly string[];
}

function pageOf({ season, result, notices }: Whole): Page {
  const faults: string[] = [];
  const document = parse([...reportPieces(season, result, notices)].join(''), {
    onParseError: ({ code }) => faults.push(code),
  });
  const elements: Element[] = [];
  const texts: string[] = [];
  const visit = (node: DefaultTreeAdapterTypes.Node) => {
    if ('value' in node) texts.push(node.value);
    if ('data' in node) texts.push(`comment: ${node.data}`);
    if ('tagName' in node) {
      const attributes = new Map(node.attrs.map(({ name, value }) => [name, value]));
      elements.push({ tag: node.tagName, attributes });
    }
    if ('childNodes' in node) for (const child of node.childNodes) visit(child);
  };
  visit(document);
  return { elements, text: texts.join(''), faults };
}

const outlined = ({ elements }: Page) =>
  elements.map(({ tag, attributes }) => `${tag} ${[...attributes.keys()].join(' ')}`);

describe('the report under hostile text', () => {
  const plain = pageOf(reworded(whole, plainly()));

  it('is sound HTML without script, link or frame to begin with', () => {
    expect(plain.faults).toEqual([]);
    expect(plain.elements.length).toBeGreaterThan(200);
    const tags = new Set(plain.elements.map(({ tag }) => tag));
    for (const tag of ['script', 'a', 'link', 'iframe', 'img', 'object', 'embed', 'form', 'base'])
      expect(tags).not.toContain(tag);
  });

  it.each(Array.from({ length: 40 }, (_, i) => i + 1))('keeps its very elements, seed %i', (seed) => {
    const hostile = reworded(whole, hostilely(new Random(seed, 'hostile text')));
    const page = pageOf(hostile);
    expect(page.faults).toEqual([]);
    expect(outlined(page)).toEqual(outlined(plain));
    expect(page.text).not.toContain('comment: ');
    for (const { attributes } of page.elements) {
      for (const [name, held] of attributes) {
        expect(name).not.toMatch(/^on|^(src|href|action|formaction|srcdoc)$/);
        if (name === 'style') expect(held).toMatch(/^width:[\d.]+%(;background:#[0-9a-f]{3,6})?$/);
      }
    }
    // it is all there, as text: control characters as blanks, line ends as HTML has them
    // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
    const seen = (text: string) => text.replaceAll(/[\u0000-\u0020\u007f\u0085]+/g, ' ').trim();
    expect(seen(page.text)).toContain(seen(hostile.season.name));
    expect(seen(page.text)).toContain(seen(hostile.notices[0].text));
  });
});

describe('files for other programs under hostile text', () => {
  it.each(Array.from({ length: 20 }, (_, i) => i + 1))('give back every text as it was, seed %i', (seed) => {
    const { season, result } = reworded(whole, hostilely(new Random(seed, 'hostile text')));
    const geojson = JSON.parse([...geojsonPieces(season, result, { points: 'all' })].join(''));
    const fields = new Set(
      geojson.features.map((feature: { properties: { field: string } }) => feature.properties.field),
    );
    expect([...fields]).toEqual(result.points.map(({ field }) => field));
    expect(JSON.parse(summaryText(result.summary)).fields.map(({ name }: { name: string }) => name)).toEqual(
      result.summary.fields.map(({ name }) => name),
    );
  });
});
