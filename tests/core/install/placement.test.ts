import { describe, expect, it } from 'vitest';
import { fittingKit, fittingSteps, wireSentence } from '../../../core/install/fitting-steps.ts';
import { inchFractionFromMm, inchText } from '../../../core/install/inch-fraction.ts';
import { type Placement, type PlacementSheet, placementOf } from '../../../core/install/placement.ts';
import { areaOfGauge, chooseWire, spliceColour } from '../../../core/install/supply-wire.ts';

const IN = 25.4;
const SHEET: PlacementSheet = {
  column_depth_mm: 3.5 * IN,
  column_width_mm: 6 * IN,
  paddle: { pitch_mm: 8 * IN, width_mm: 5.5 * IN, depth_mm: 3.25 * IN, thickness_mm: 10 },
};

function placed(changes: Partial<PlacementSheet> = {}): Placement {
  const result = placementOf({ ...SHEET, ...changes });
  if (!result.ok) throw new Error(result.error.text);
  return result.value;
}

function refusal(changes: Partial<PlacementSheet>): string {
  const result = placementOf({ ...SHEET, ...changes });
  return result.ok ? 'placed' : result.error.text;
}

describe('marks', () => {
  it('of a column 3.5 in deep are 1.75 in from the back and 62 in up (common practice, no source)', () => {
    const { from_back_mm, height_mm, height_limited_by, behind_middle_mm } = placed();
    expect(inchText(inchFractionFromMm(from_back_mm, 16))).toBe('1 3/4 in');
    expect(inchText(inchFractionFromMm(height_mm, 16))).toBe('62 in');
    expect(height_limited_by).toBe('usual');
    expect(behind_middle_mm).toBe(0);
  });

  it('holes are 5/32 in and 3/4 in (common practice, no source)', () => {
    const { pilot_mm, hole_mm } = placed();
    expect(inchText(inchFractionFromMm(pilot_mm, 32))).toBe('5/32 in');
    expect(inchText(inchFractionFromMm(hole_mm, 16))).toBe('3/4 in');
  });

  it('are as high as both sides can be reached', () => {
    expect(placed({ reach_outside_mm: 2000, reach_inside_mm: 1700 })).toMatchObject({
      height_mm: 1700,
      height_limited_by: 'inside',
      blind: false,
    });
    expect(placed({ reach_outside_mm: 1400, reach_inside_mm: null })).toMatchObject({
      height_mm: 1400,
      height_limited_by: 'outside',
      blind: true,
    });
    // 1800 − 150 mm of the head − one pitch
    expect(placed({ reach_outside_mm: 2000, shafts_apart_mm: 1800 })).toMatchObject({
      height_mm: 1800 - 150 - 203.2,
      height_limited_by: 'head',
    });
  });

  it('go behind the middle where the chain would stand in the beam', () => {
    // chain 45..65 mm from the back; beam of 5 mm and 6 mm of room: 55 − 10 − 2.5 − 6
    const behind = placed({ chain: { from_back_mm: 55, thickness_mm: 20 } });
    expect(behind.from_back_mm).toBeCloseTo(36.5, 9);
    expect(behind.behind_because).toBe('chain');
    expect(behind.beam_sheet.from_back_mm).toBeCloseTo((3.25 * IN) / 2 - (44.45 - 36.5), 1);
    expect(placed({ chain: { from_back_mm: 80, thickness_mm: 10 } }).behind_because).toBe('middle');
  });

  it('cost δ·tan θ over the heap on a slope', () => {
    const { slope_errors } = placed({ chain: { from_back_mm: 55, thickness_mm: 20 } });
    const one = slope_errors.find(({ slope, fill }) => slope === 0.05 && fill === 0.25);
    // 7.95 mm · 0.05 over a heap of 0.25 · 203.2 mm
    expect(one?.flow_error_pct).toBeCloseTo((100 * 7.95 * 0.05) / 50.8, 9);
  });

  it('tell the elevator’s share of the lag and the empty level to expect', () => {
    const { lag_share_s, empty_level } = placed({ chain_speed_m_s: 2.05 });
    expect(lag_share_s).toBeCloseTo(1.5748 / 2.05, 9);
    expect(empty_level).toBeCloseTo(15 / 203.2, 9);
  });

  it('are refused in a sentence where none is possible', () => {
    expect(refusal({ column_depth_mm: 3.5 })).toMatch(/depth of the column is given as 3.5 mm.*inches/);
    expect(refusal({ chain: { from_back_mm: 15, thickness_mm: 20 } })).toMatch(/no place is left behind it/);
    expect(refusal({ reach_outside_mm: 500 })).toMatch(/reached up to 500 mm/);
    expect(refusal({ chain_speed_m_s: 200 })).toMatch(/chain speed is given as 200/);
  });
});

describe('wire', () => {
  it('gauges have the cross-sections of the wire table [ASTM B258: 18 AWG 0.823, 14 AWG 2.08 mm²]', () => {
    expect(areaOfGauge(18)).toBeCloseTo(0.823, 3);
    expect(areaOfGauge(14)).toBeCloseTo(2.081, 3);
  });

  it('splices are red for 18 gauge and finer, blue for 16 and heavier (common practice, no source)', () => {
    expect([20, 18, 16, 14].map(spliceColour)).toEqual(['red', 'red', 'blue', 'blue']);
  });

  it('get heavier with length and current, and the fuse never bears more than the wire', () => {
    expect(chooseWire(2, 0.5)?.gauge).toBe(20);
    expect(chooseWire(6, 1)).toMatchObject({ gauge: 18, fuse_a: 2, splice: 'red' });
    expect(chooseWire(8, 2)).toMatchObject({ gauge: 14, fuse_a: 3, splice: 'blue' });
    expect(chooseWire(20, 10)).toBeUndefined();
    expect(() => chooseWire(0, 1)).toThrow(/not 0 m/);
  });
});

describe('steps', () => {
  const steps = fittingSteps(placed({ chain: { from_back_mm: 55, thickness_mm: 20 } }), 'us');

  it('have cautions before each', () => {
    for (const { cautions, doings } of steps) {
      expect(cautions.length).toBeGreaterThan(0);
      expect(doings.length).toBeGreaterThan(0);
    }
    expect(steps[0].cautions.join(' ')).toMatch(/Engine off, key out/);
  });

  it('say how the drill is kept from the chain, before it is taken up', () => {
    const guard = steps.findIndex(({ title }) => title.includes('from chain and paddles'));
    const drill = steps.findIndex(({ title }) => title === 'Drill');
    expect(guard).toBeGreaterThan(0);
    expect(drill).toBe(guard + 1);
    const words = steps[guard].doings.join(' ');
    for (const needed of ['free of paddles', 'block the drive', 'collar', 'never crosses'])
      expect(words).toContain(needed);
  });

  it('name the kit', () => {
    const { tools, consumables } = fittingKit(placed(), 'us');
    expect(tools.join(' ')).toContain('5/32 in');
    expect(consumables.join(' ')).toMatch(/red for 18 gauge and finer, blue for 16 and heavier/);
    expect(wireSentence()).toMatch(/18 gauge .* fuse 2 A/);
  });
});
