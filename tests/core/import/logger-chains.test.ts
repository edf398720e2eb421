/** Which logs one logger wrote, and which machine each is from. */
import { describe, expect, it } from 'vitest';
import { isSameCounter, type LogOutline, WRAP_S } from '../../../core/import/log-outline.ts';
import { loggerChains } from '../../../core/import/logger-chains.ts';
import { chooseMachines, type KnownMachines } from '../../../core/import/machine-choice.ts';
import { fieldSamples, outline, stretch, tickLog } from './made-logs.ts';

const DAY = Date.parse('2026-10-06T14:00:00Z') / 1000;
const HERE = { east_m: 0, north_m: 0 };
const SHORT = { ...HERE, width_m: 27 };
const samplesAt = (start_s: number) => fieldSamples(start_s, SHORT);
/** Length of such a log, s. */
const LENGTH_S = (() => {
  const { utc_s } = samplesAt(0);
  return utc_s[utc_s.length - 1];
})();

const names = (logs: readonly LogOutline[]) =>
  loggerChains(logs).map(({ logs: own }) => own.map(({ id }) => id));

describe('counters that run on', () => {
  it('tell that two files are one logger, through a wrap of the counter', () => {
    const first = tickLog('b', samplesAt(DAY), 2 ** 32 - 200e6);
    const second = tickLog(
      'a',
      samplesAt(DAY + LENGTH_S + 2),
      2 ** 32 - 200e6 + (LENGTH_S + 2) * 1e6 - 2 ** 32,
    );
    expect(isSameCounter(first.stretches[0], second.stretches[0])).toBe(true);
    expect(names([second, first])).toEqual([['b', 'a']]);
  });

  it('that began elsewhere are other loggers or other days', () => {
    const first = tickLog('a', samplesAt(DAY), 1e6);
    const second = tickLog('b', samplesAt(DAY + LENGTH_S + 60), 1e6);
    expect(names([first, second])).toEqual([['a'], ['b']]);
    const later = tickLog('c', samplesAt(DAY + 4 * 3600), 1e6 + (4 * 3600 - 3 * WRAP_S) * 1e6);
    expect(isSameCounter(first.stretches[0], later.stretches[0])).toBe(false);
  });

  it('join a beam file to the fix file that spans the same, and order it by its fixes', () => {
    const fix = (id: string, start_s: number, start_us: number) =>
      tickLog(id, samplesAt(start_s), start_us, { edges: 0 });
    const beam = (id: string, start_us: number) =>
      outline(id, [
        stretch({
          edges: 4000,
          counter: {
            first_us: start_us,
            last_us: start_us + LENGTH_S * 1e6,
            first_utc_s: Number.NaN,
            last_utc_s: Number.NaN,
          },
        }),
      ]);
    const gap_us = (LENGTH_S + 5) * 1e6;
    const logs = [
      beam('a-late', 5e6 + gap_us),
      beam('b-early', 5e6),
      fix('c', DAY, 5e6),
      fix('d', DAY + LENGTH_S + 5, 5e6 + gap_us),
    ];
    expect(names(logs)).toEqual([['b-early', 'c', 'a-late', 'd']]);
  });
});

const TWO = [
  { id: 'c1', name: 'combine 1' },
  { id: 'c2', name: 'combine 2' },
];

function machinesOf(logs: readonly LogOutline[], known: Partial<KnownMachines> = {}) {
  const choices = chooseMachines(loggerChains(logs), {
    machines: [],
    ticketNames: [],
    ofLog: new Map(),
    ...known,
  });
  return {
    of: Object.fromEntries(
      [...choices.of].map(([id, { machine, known: sure }]) => [id, sure ? machine : `${machine}?`]),
    ),
    added: choices.added.map(({ id }) => id),
  };
}

describe('which machine', () => {
  const early = tickLog('LOG1.TXT', samplesAt(DAY), 1e6);
  const later = tickLog('LOG2.TXT', samplesAt(DAY + 7200), 2e6);
  const atOnce = tickLog('LOG3.TXT', samplesAt(DAY + 60), 9e8);

  it('the only one', () => {
    expect(machinesOf([early, later], { machines: TWO.slice(0, 1) })).toEqual({
      of: { 'LOG1.TXT': 'c1', 'LOG2.TXT': 'c1' },
      added: [],
    });
  });

  it('a new one for the first log, and another for what was recorded at the same time', () => {
    expect(machinesOf([early, later, atOnce])).toEqual({
      of: { 'LOG1.TXT': 'c1', 'LOG2.TXT': 'c1?', 'LOG3.TXT': 'c2' },
      added: ['c1', 'c2'],
    });
  });

  it('the one whose counter runs on from a log of the season', () => {
    const listed = { ...early, id: 'logs/known.log' };
    const next = tickLog('LOG9.TXT', samplesAt(DAY + LENGTH_S + 3), 1e6 + (LENGTH_S + 3) * 1e6);
    const found = machinesOf([listed, next], { machines: TWO, ofLog: new Map([['logs/known.log', 'c2']]) });
    expect(found.of).toEqual({ 'LOG9.TXT': 'c2' });
  });

  it('the one that its path or its first lines speak of, and no part of a word or number', () => {
    const inFolder = { ...early, id: 'stick/Combine 2/LOG1.TXT' };
    const inside = { ...later, heading: '# tick log of combine1' };
    const ten = { ...tickLog('combine 10/x.log', samplesAt(DAY + 90_000), 5e6) };
    expect(machinesOf([inFolder, inside, ten], { machines: TWO }).of).toEqual({
      'stick/Combine 2/LOG1.TXT': 'c2',
      'LOG2.TXT': 'c1',
      'combine 10/x.log': 'c1?',
    });
  });

  it('one that only the tickets know by name', () => {
    const named = { ...early, id: 'big green/LOG1.TXT' };
    expect(machinesOf([named], { machines: TWO, ticketNames: ['Big Green'] })).toEqual({
      of: { 'big green/LOG1.TXT': 'Big Green' },
      added: ['Big Green'],
    });
  });

  it('the one that was said, above all', () => {
    const named = { ...early, id: 'combine 2/LOG1.TXT' };
    expect(machinesOf([named], { machines: TWO, chosen: 'COMBINE 1' }).of).toEqual({
      'combine 2/LOG1.TXT': 'c1',
    });
  });

  it('the one whose other logs are alike, when several are free', () => {
    const plain = tickLog('a/LOG1.TXT', samplesAt(DAY), 1e6, { moisture: 0 });
    const moist = tickLog('b/LOG1.TXT', samplesAt(DAY), 700e6, { moisture: 400 });
    const next = tickLog('b/LOG2.TXT', samplesAt(DAY + 86_400), 3e6, { moisture: 380 });
    const ofLog = new Map([
      ['a/LOG1.TXT', 'c1'],
      ['b/LOG1.TXT', 'c2'],
    ]);
    expect(machinesOf([plain, moist, next], { machines: TWO, ofLog }).of).toEqual({ 'b/LOG2.TXT': 'c2' });
  });
});
