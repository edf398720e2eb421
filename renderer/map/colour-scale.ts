/** From numbers to colours, and the histogram beside it: what the map draws and what its legend says are one thing. */
import { type Breaks, breaksAboutZero, breaksOf, classIndex } from './breaks.ts';
import { type Rgb, rampColour } from './ramps.ts';
import type { ClassChoice, RampName, Theme } from './types.ts';

export interface ColourScale extends Breaks {
  readonly ramp: RampName;
  /** One colour a class; of a continuous scale none. */
  readonly colours: readonly Rgb[];
  readonly colourAt: (number: number) => Rgb;
  /** Place along the ramp's texture, 0 to 1; NaN for NaN. */
  readonly positionOf: (number: number) => number;
}

export interface ScaleChoice {
  readonly classes: ClassChoice;
  readonly ramp: RampName;
  readonly theme: Theme;
  /** Colours spread about zero, for differences. */
  readonly about: 'zero' | 'range';
}

/** The scale for a column of numbers (those of screened points left out beforehand). */
export function colourScale(column: Float64Array, choice: ScaleChoice): ColourScale {
  const breaks =
    choice.about === 'zero' ? breaksAboutZero(column, choice.classes) : breaksOf(column, choice.classes);
  const ramp = choice.about === 'zero' ? 'diverging' : choice.ramp;
  const { limits, low, high } = breaks;
  const isSmooth = breaks.method === 'continuous';
  const classes = limits.length + 1;
  const colours = isSmooth
    ? []
    : Array.from({ length: classes }, (_, i) =>
        rampColour(ramp, classes > 1 ? i / (classes - 1) : 0.5, choice.theme),
      );
  const shareOf = (number: number) => Math.min(Math.max((number - low) / (high - low), 0), 1);
  return {
    ...breaks,
    ramp,
    colours,
    colourAt: isSmooth
      ? (number) => rampColour(ramp, shareOf(number), choice.theme)
      : (number) => colours[Math.max(classIndex(limits, number), 0)],
    positionOf: isSmooth
      ? shareOf
      : (number) => (Number.isNaN(number) ? Number.NaN : (classIndex(limits, number) + 0.5) / classes),
  };
}

/** Colour along the texture of a scale. */
export function textureColour(scale: ColourScale, share: number, theme: Theme): Rgb {
  if (scale.colours.length === 0) return rampColour(scale.ramp, share, theme);
  return scale.colours[Math.min(Math.floor(share * scale.colours.length), scale.colours.length - 1)];
}

export interface Histogram {
  readonly low: number;
  readonly high: number;
  /** Weight in each of the equal bins. */
  readonly bins: Float64Array;
  /** Weight beyond the ends. */
  readonly below: number;
  readonly above: number;
}

/** Weights of `column` in `count` equal bins from `low` to `high`; NaN and weights that are not positive are left out. */
export function histogramOf(
  column: Float64Array,
  weights: Float64Array,
  { low, high, count }: { readonly low: number; readonly high: number; readonly count: number },
): Histogram {
  if (!(high > low)) throw new RangeError(`a histogram from ${low} to ${high} has no width`);
  const bins = new Float64Array(count);
  let below = 0;
  let above = 0;
  for (let i = 0; i < column.length; i++) {
    const weight = weights[i];
    const number = column[i];
    if (!(weight > 0) || Number.isNaN(number)) continue;
    if (number < low) below += weight;
    else if (number > high) above += weight;
    else bins[Math.min(count - 1, Math.floor(((number - low) / (high - low)) * count))] += weight;
  }
  return { low, high, bins, below, above };
}
