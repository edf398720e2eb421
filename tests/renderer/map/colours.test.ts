import { describe, expect, it } from 'vitest';
import { viridis } from '../../../core/export/report/colour-classes.ts';
import { colourScale, histogramOf, textureColour } from '../../../renderer/map/colour-scale.ts';
import { hexFromRgb, type Rgb, rampColour, rampTexels, rgbFromHex } from '../../../renderer/map/ramps.ts';

/** Relative luminance of sRGB [WCAG 2.2, definition of relative luminance]. */
function luminance(rgb: Rgb): number {
  const [r, g, b] = rgb.map((c) =>
    c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4,
  );
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

const shares = Array.from({ length: 33 }, (_, i) => i / 32);

describe('ramps', () => {
  it('viridis is the one of the report', () => {
    for (const share of shares) expect(hexFromRgb(rampColour('viridis', share))).toBe(viridis(share));
  });

  it('sequential ramps change evenly from dark to light, or from light to dark', () => {
    for (const [ramp, way] of [
      ['viridis', 1],
      ['cividis', 1],
      ['teal', -1],
    ] as const) {
      const lights = shares.map((share) => luminance(rampColour(ramp, share)));
      for (let i = 1; i < lights.length; i++)
        expect(way * (lights[i] - lights[i - 1])).toBeGreaterThan(-1e-9);
    }
  });

  it('the diverging ramp is as light on both sides of its middle, in both themes', () => {
    for (const theme of ['light', 'dark'] as const) {
      for (const share of shares.slice(0, 16)) {
        const left = luminance(rampColour('diverging', share, theme));
        const right = luminance(rampColour('diverging', 1 - share, theme));
        expect(Math.abs(left - right)).toBeLessThan(0.12);
      }
    }
  });

  it('no ramp runs between red and green: its ends differ in blue or in lightness', () => {
    for (const ramp of ['viridis', 'cividis', 'teal', 'diverging'] as const) {
      const [from, to] = [rampColour(ramp, 0), rampColour(ramp, 1)];
      expect(
        Math.max(Math.abs(from[2] - to[2]), 255 * Math.abs(luminance(from) - luminance(to))),
      ).toBeGreaterThan(60);
    }
  });

  it('holds at the ends, and reads and writes hex', () => {
    expect(rampColour('teal', -3)).toEqual(rampColour('teal', 0));
    expect(rampColour('teal', 7)).toEqual(rampColour('teal', 1));
    expect(hexFromRgb(rgbFromHex('#0a5c61'))).toBe('#0a5c61');
    expect(() => rgbFromHex('teal')).toThrow(RangeError);
  });
});

describe('colour scale', () => {
  const column = Float64Array.from({ length: 1001 }, (_, i) => i);

  it('puts the middle of each class on its own texel', () => {
    const scale = colourScale(column, {
      classes: { method: 'equal', count: 7 },
      ramp: 'viridis',
      theme: 'light',
      about: 'range',
    });
    const texels = rampTexels(256, (share) => textureColour(scale, share, 'light'));
    for (const number of [0, 150, 300, 500, 777, 1000]) {
      const at = 4 * Math.min(Math.floor(scale.positionOf(number) * 256), 255);
      expect([...texels.subarray(at, at + 3)]).toEqual([...scale.colourAt(number)]);
    }
    expect(scale.positionOf(Number.NaN)).toBeNaN();
  });

  it('of differences is diverging, with nothing at its middle', () => {
    const scale = colourScale(column, {
      classes: { method: 'continuous' },
      ramp: 'viridis',
      theme: 'light',
      about: 'zero',
    });
    expect(scale.ramp).toBe('diverging');
    expect(scale.positionOf(0)).toBeCloseTo(0.5, 12);
    expect(scale.positionOf(-1e9)).toBe(0);
  });
});

describe('histogram', () => {
  it('loses no ground', () => {
    const numbers = Float64Array.of(-5, 0, 1, 2, 9.99, 10, 11, Number.NaN, 3);
    const areas = Float64Array.of(1, 2, 3, 4, 5, 6, 7, 100, 0);
    const { bins, below, above } = histogramOf(numbers, areas, { low: 0, high: 10, count: 5 });
    expect([...bins]).toEqual([5, 4, 0, 0, 11]);
    expect([below, above]).toEqual([1, 7]);
    expect(() => histogramOf(numbers, areas, { low: 1, high: 1, count: 5 })).toThrow(RangeError);
  });
});
