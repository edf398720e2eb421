/** How ways of making classes are called, in the panel and in the legend. */
import type { SurfaceClassSheet } from '../../../core/surface/surface-sheet.ts';

type ClassMethod = NonNullable<SurfaceClassSheet['method']>;

export const USUAL_METHOD: ClassMethod = 'natural';

/** In the order in which they are offered. */
export const CLASS_METHODS: readonly ClassMethod[] = [
  'natural',
  'quantile',
  'equal',
  'standard_deviation',
  'user',
];

export const CLASS_WORDS: Readonly<Record<ClassMethod, string>> = {
  natural: 'natural breaks',
  quantile: 'equal ground',
  equal: 'equal steps',
  standard_deviation: 'standard deviations',
  user: 'limits by hand',
};

/** What speaks for each. */
export const CLASS_REASONS: Readonly<Record<ClassMethod, string>> = {
  natural: 'Cells within a class differ as little as they can. The default: it follows the field’s own gaps.',
  quantile: 'As many cells in every class: a ranking of the ground, whatever the yields.',
  equal:
    'The same width each, from the least yield to the greatest: easy to read, but ends may be nearly empty.',
  standard_deviation: 'One standard deviation each, about the mean: what is unusual stands out.',
  user: 'Your own limits, the same for every field: typed here, or dragged on the histogram of the legend.',
};
