/** Colours of a map: the scale for its legend, and the bytes on the GPU. */
import { useEffect, useState } from 'react';
import { type ColourScale, colourScale, type Histogram, histogramOf, textureColour } from './colour-scale.ts';
import { RAMP_TEXELS } from './field-layer.ts';
import type { FieldMapView } from './field-map-view.ts';
import { pause, steadily } from './pause.ts';
import type { PreparedField } from './prepared-field.ts';
import { type ShownQuantity, shownQuantity } from './quantities.ts';
import { rampTexels } from './ramps.ts';
import { keptOnly, shownDifferences, shownNumbers } from './shown-numbers.ts';
import { colourSteps } from './swath-buffers.ts';
import type { FieldMapProps } from './types.ts';

export interface Painted {
  readonly shown: ShownQuantity;
  readonly scale: ColourScale;
  readonly histogram: Histogram;
  /** Displayed number of every row. */
  readonly numbers: Float64Array;
  readonly is_difference: boolean;
}

const HISTOGRAM_BINS = 44;
/** Room beyond the ends of the colours in the histogram, as a share of them. */
const BEYOND = 0.08;

type Choice = Pick<
  FieldMapProps,
  'colourBy' | 'ramp' | 'classes' | 'units' | 'bushel_kg' | 'theme' | 'fadeUncertain' | 'compareWith'
>;

/** Paints `after` (and `before` in a split view) in steps with pauses; what was painted last, once it is on the map. */
export function usePaint(
  view: FieldMapView | null,
  after: PreparedField | undefined,
  before: PreparedField | undefined,
  choice: Choice,
): Painted | null {
  const [painted, setPainted] = useState<Painted | null>(null);
  const { colourBy, ramp, units, bushel_kg, theme, fadeUncertain } = choice;
  const { method, count, limits_si } = choice.classes;
  const limits_key = limits_si?.join(' ');
  const compared = choice.compareWith?.show;
  const compared_rows = choice.compareWith?.rows;
  useEffect(() => {
    if (!view || !after) return;
    let isWanted = true;
    const paint = async () => {
      const shown = shownQuantity(colourBy, units, bushel_kg);
      const is_difference = compared === 'difference' && before !== undefined;
      const numbers =
        is_difference && before
          ? shownDifferences(before.columns, after.columns, colourBy, shown, compared_rows)
          : shownNumbers(after.columns, colourBy, shown);
      await pause();
      if (!isWanted) return;
      const kept = keptOnly(numbers, after.columns.screened_by);
      const about = is_difference ? 'zero' : 'range';
      const limits = limits_key
        ?.split(' ')
        .flatMap((limit) => (limit === '' ? [] : [Number(limit) * shown.per_si]));
      const scale = colourScale(kept, {
        classes: { method, count, limits_si: limits },
        ramp,
        theme,
        about,
      });
      const span = scale.high - scale.low;
      const histogram = histogramOf(kept, after.columns.fresh_area_m2, {
        low: scale.low - BEYOND * span,
        high: scale.high + BEYOND * span,
        count: HISTOGRAM_BINS,
      });
      await pause();
      if (!isWanted) return;
      const fade = fadeUncertain === false || colourBy !== 'yield' || is_difference ? 'none' : 'by_error';
      await steadily(
        whileWanted(
          colourSteps(after.content.paint, after.columns, { numbers, scale, fade }),
          () => isWanted,
        ),
      );
      await pause();
      if (!isWanted) return;
      if (before && compared === 'split') {
        const earlier = shownNumbers(before.columns, colourBy, shown);
        const steps = colourSteps(before.content.paint, before.columns, { numbers: earlier, scale, fade });
        await steadily(whileWanted(steps, () => isWanted));
        if (!isWanted) return;
      }
      view.layer.setRamp(rampTexels(RAMP_TEXELS, (share) => textureColour(scale, share, theme)));
      view.layer.touch();
      setPainted({ shown, scale, histogram, numbers, is_difference });
    };
    void paint();
    return () => {
      isWanted = false;
    };
  }, [
    view,
    after,
    before,
    colourBy,
    ramp,
    method,
    count,
    limits_key,
    units,
    bushel_kg,
    theme,
    fadeUncertain,
    compared,
    compared_rows,
  ]);
  return painted;
}

/** The steps, broken off when nobody wants them any more: two paintings must not take turns on one buffer. */
function* whileWanted(steps: Iterator<void, void>, isWanted: () => boolean): Generator<void, void> {
  while (isWanted() && !steps.next().done) yield;
}
