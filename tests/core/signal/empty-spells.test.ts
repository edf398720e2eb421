import { describe, expect, it } from 'vitest';
import { findEmptySpells } from '../../../core/signal/empty-spells.ts';
import { range, timedFixes } from './made-fixes.ts';

const NO_HEADER = { t_s: new Float64Array(), up: new Uint8Array() };
const header = (rows: readonly [t_s: number, up: number][]) => ({
  t_s: Float64Array.from(rows, ([t_s]) => t_s),
  up: Uint8Array.from(rows, ([, up]) => up),
});
/** A fix a second; `speed_at` says how fast. */
const drive = (count: number, speed_at: (t: number) => number) =>
  timedFixes(range(count), { speed_m_s: range(count).map(speed_at) });

describe('empty spells', () => {
  it('begin a clean-out after the header rose, and end when it goes down', () => {
    const found = findEmptySpells(
      drive(300, () => 2),
      header([
        [0, 0],
        [100, 1],
        [160, 0],
      ]),
      30,
    );
    expect(found).toEqual([{ from_s: 130, to_s: 160 }]);
  });

  it('are not told by a switch that was never down: it is stuck', () => {
    const stuck = header([
      [0, 1],
      [150, 1],
    ]);
    expect(
      findEmptySpells(
        drive(300, () => 2),
        stuck,
        30,
      ),
    ).toEqual([]);
  });

  it('need six seconds after the clean-out', () => {
    const up = (to_s: number) =>
      header([
        [100, 1],
        [to_s, 0],
      ]);
    expect(
      findEmptySpells(
        drive(300, () => 2),
        up(135),
        30,
      ),
    ).toEqual([]);
    expect(
      findEmptySpells(
        drive(300, () => 2),
        up(136),
        30,
      ),
    ).toEqual([{ from_s: 130, to_s: 136 }]);
  });

  it('join standing with a raised header, and many reports with each other', () => {
    const speed = (t: number) => (t >= 90 && t < 130 ? 0.05 : 2);
    const reports = range(300).map((t): [number, number] => [t, t >= 120 && t < 170 ? 1 : 0]);
    expect(findEmptySpells(drive(300, speed), header(reports), 30)).toEqual([{ from_s: 120, to_s: 170 }]);
  });

  it('end with the log where nothing follows', () => {
    expect(
      findEmptySpells(
        drive(200, () => 2),
        header([
          [0, 0],
          [100, 1],
        ]),
        30,
      ),
    ).toEqual([{ from_s: 130, to_s: 199 }]);
    expect(
      findEmptySpells(
        drive(200, (t) => (t < 100 ? 2 : 0)),
        NO_HEADER,
        30,
      ),
    ).toEqual([{ from_s: 130, to_s: 199 }]);
  });

  it('do not reach across a silence, in which the header may have gone down unseen', () => {
    const t_s = [...range(100), ...range(100).map((t) => 50_000 + t)];
    const fixes = timedFixes(t_s, { speed_m_s: t_s.map(() => 2) });
    // the next report comes only when the first pass of the next day has ended
    expect(
      findEmptySpells(
        fixes,
        header([
          [0, 0],
          [50, 1],
          [50_080, 1],
        ]),
        30,
      ),
    ).toEqual([{ from_s: 80, to_s: 99 }]);
  });

  it('do not take a receiver without speed for standing', () => {
    expect(findEmptySpells(timedFixes(range(200)), NO_HEADER, 30)).toEqual([]);
  });
});
