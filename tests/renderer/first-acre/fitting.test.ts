import { describe, expect, it } from 'vitest';
import { checkSheet } from '../../../core/export/sheets/check-sheet.ts';
import { placementSheet } from '../../../core/export/sheets/placement-sheet.ts';
import { checkBeam } from '../../../core/install/beam-check.ts';
import { readFirstLog } from '../../../core/install/first-log.ts';
import { placementOf } from '../../../core/install/placement.ts';
import {
  checkMeasuresFrom,
  FIRST_FITTING,
  fittingOf,
  placementFrom,
  speedFromText,
  withUnitsWritten,
} from '../../../renderer/first-acre/fitting.ts';
import { partsOf } from '../../../renderer/first-acre/print-sheet.ts';
import { soundFirstLog } from '../../synthetic/sound-session.ts';

const NEEDED = { columnDepth: '3.5', columnWidth: '6 in', pitch: '203.2 mm', thickness: '3/8' };

describe('measures as they are typed', () => {
  it('place the beam in the middle of a 3.5 in column, 62 in up (common practice, no source)', () => {
    const read = placementFrom({ ...FIRST_FITTING, entries: NEEDED }, 'us');
    if (read.is !== 'ready') throw new Error('not ready');
    expect(read.measures.column_depth_mm).toBeCloseTo(88.9, 9);
    const placed = placementOf(read.measures);
    if (!placed.ok) throw new Error(placed.error.text);
    expect(placed.value.height_mm / 25.4).toBeCloseTo(62, 9);
    expect(placed.value.from_back_mm / 25.4).toBeCloseTo(1.75, 9);
  });

  it('say what is missing and what means nothing, and nothing else', () => {
    const entries = { columnDepth: 'deep', columnWidth: '6 in', reachInside: 'far', counted: '3.5' };
    const read = placementFrom({ ...FIRST_FITTING, entries }, 'us');
    expect(read).toEqual({
      is: 'open',
      missing: ['pitch', 'thickness'],
      wrong: ['columnDepth', 'reachInside', 'counted'],
    });
    const blind = placementFrom(
      { ...FIRST_FITTING, entries: { ...NEEDED, reachInside: 'far' }, isBlind: true },
      'us',
    );
    expect(blind.is === 'ready' && blind.measures.reach_inside_mm).toBe(null);
  });

  it('keep their unit when the window changes to others', () => {
    const entries = { ...NEEDED, chainSpeed: '6.5', paddles: '61' };
    const written = withUnitsWritten(entries, 'us');
    expect(written).toMatchObject({
      columnDepth: '3.5 in',
      columnWidth: '6 in',
      thickness: '3/8 in',
      chainSpeed: '6.5 ft/s',
      paddles: '61',
    });
    const of = (given: typeof entries, units: 'us' | 'metric') =>
      placementFrom({ ...FIRST_FITTING, entries: given }, units);
    expect(of(written as typeof entries, 'metric')).toEqual(of(entries, 'us'));
  });

  it('speeds in metres or feet, a second or a minute', () => {
    expect(speedFromText('2', 'metric')).toBe(2);
    expect(speedFromText('10 ft/s', 'metric')).toBeCloseTo(3.048, 9);
    expect(speedFromText('400 ft/min', 'us')).toBeCloseTo((400 * 0.3048) / 60, 9);
    for (const text of ['2 m/h', '2 m/s/s', 'fast']) expect(speedFromText(text, 'us')).toBeNaN();
  });

  it('are taken from a machine of the season', () => {
    const paddle = { pitch_mm: 203.2, width_mm: 260, depth_mm: 150, thickness_mm: 10, count: 61 };
    const machine = { id: 'c1', name: 'combine 1', header: { width_m: 9 }, paddle, beam: { height_mm: 4 } };
    const read = checkMeasuresFrom(fittingOf(machine, 'us'), 'us');
    if (read.is !== 'ready') throw new Error('not ready');
    expect(read.measures).toMatchObject({ pitch_mm: 203.2, paddles: 61 });
    // inches with three digits: a hundredth of a millimetre
    expect(read.measures.thickness_mm).toBeCloseTo(10, 1);
    expect(read.measures.beam_mm).toBeCloseTo(4, 1);
  });
});

describe('a sheet taken apart for printing', () => {
  it('has its style, its own paper and all that stands on it', () => {
    const read = placementFrom({ ...FIRST_FITTING, entries: NEEDED }, 'us');
    if (read.is !== 'ready') throw new Error('not ready');
    const placed = placementOf(read.measures);
    if (!placed.ok) throw new Error(placed.error.text);
    const text = placementSheet(placed.value, read.measures, {
      machine: 'A & <B>',
      units: 'us',
      paper: 'a4',
    });
    const { title, style, body } = partsOf(text);
    expect(title).toBe('A & <B>: Placement worksheet');
    expect(style).toContain('@page { size: 210mm 297mm');
    expect(body).toContain('A &amp; &lt;B&gt;');
    expect(body).toContain('Drilling template');
    // neither would get past the window's policy
    expect(body).not.toMatch(/<style|style="|<script/);

    const first = soundFirstLog(4);
    const log = readFirstLog('first.log', first.bytes);
    if (!log.ok) throw new Error(log.error.text);
    const check = checkBeam(log.value, first.sheet);
    const record = partsOf(checkSheet(check, { machine: 'c', paper: 'letter', generated_by: 'x' }));
    expect(record.body).not.toMatch(/<style|style="|<script/);
    expect(record.style).toContain('215.9mm 279.4mm');
  });
});
