/** What a row of a layer is coloured by in formats that draw: its class of yield. */
import { concatenate } from '../../columns.ts';
import type { ExportLayer } from '../layers/layer.ts';
import { classOf, roundClasses, viridis } from '../report/colour-classes.ts';
import { numbersNamed } from './layer-values.ts';

export interface DrawnClass {
  /** `8.5 – 9.0 t/ha`. */
  readonly title: string;
  /** `#rrggbb`. */
  readonly colour: string;
}

export interface DrawnClasses {
  readonly classes: readonly DrawnClass[];
  /** Place of a row's class; −1 for a row without a yield. */
  readonly classOf: (layer: ExportLayer, row: number) => number;
}

/** Units of yield, in the order in which they are looked for, as people write them. */
const YIELD_UNITS = { bu_ac: 'bu/ac', t_ha: 't/ha', lb_ac: 'lb/ac' } as const;
type YieldUnit = keyof typeof YIELD_UNITS;

export interface DrawnYield {
  readonly numbers: Float64Array;
  readonly unit: YieldUnit;
}

/** The yield that comes first in the layer's columns and that any row has; `undefined` for a layer without one. */
export function drawnYield(layer: ExportLayer): DrawnYield | undefined {
  for (const column of layer.columns) {
    const unit = /^yield_(bu_ac|t_ha|lb_ac)$/.exec(column.name)?.[1];
    if (unit === undefined || column.kind === 'text' || !column.numbers.some(Number.isFinite)) continue;
    return { numbers: column.numbers, unit: unit as YieldUnit };
  }
  return undefined;
}

/** Yield of a row with its unit, for a name; nothing where it is absent. */
export function yieldText(found: DrawnYield | undefined, row: number): string | undefined {
  const amount = found?.numbers[row] ?? Number.NaN;
  if (found === undefined || !Number.isFinite(amount)) return undefined;
  return `${amount.toFixed(found.unit === 't_ha' ? 2 : 0)} ${YIELD_UNITS[found.unit]}`;
}

/** Zones by the classes that they are of; everything else in round classes over all layers together, which are to be of one crop. */
export function drawnClasses(layers: readonly ExportLayer[]): DrawnClasses {
  return layers.every(({ kind }) => kind === 'zones') ? zoneClasses(layers) : roundYieldClasses(layers);
}

function roundYieldClasses(layers: readonly ExportLayer[]): DrawnClasses {
  const found = new Map(layers.map((layer) => [layer, drawnYield(layer)]));
  const columns = [...found.values()].flatMap((one) => one ?? []);
  const amounts = concatenate(columns.map(({ numbers }) => numbers));
  const round = roundClasses(amounts, new Float64Array(amounts.length).fill(1));
  const unit = columns.length === 0 ? '' : ` ${YIELD_UNITS[columns[0].unit]}`;
  const limit = (k: number) => round.limits[k].toFixed(round.digits);
  const classes = round.colours.map((colour, k) => ({ colour, title: classTitle(k) }));
  return {
    classes,
    classOf: (layer, row) => classOf(round, found.get(layer)?.numbers[row] ?? Number.NaN),
  };

  function classTitle(k: number): string {
    if (round.limits.length === 0) return `yield${unit === '' ? '' : ` in${unit}`}`;
    if (k === 0) return `below ${limit(0)}${unit}`;
    if (k === round.limits.length) return `${limit(k - 1)}${unit} and more`;
    return `${limit(k - 1)} – ${limit(k)}${unit}`;
  }
}

/** Limits are each field's own: the class is what fields share. */
function zoneClasses(layers: readonly ExportLayer[]): DrawnClasses {
  const columns = new Map(layers.map((layer) => [layer, numbersNamed(layer, 'class')]));
  let count = 0;
  for (const column of columns.values())
    for (const one of column?.numbers ?? []) count = Math.max(count, one);
  const classes = Array.from({ length: count }, (_, k) => ({
    title: `class ${k + 1}${k === 0 ? ', the lowest' : k === count - 1 ? ', the highest' : ''}`,
    colour: viridis(count === 1 ? 0.5 : k / (count - 1)),
  }));
  return { classes, classOf: (layer, row) => (columns.get(layer)?.numbers[row] ?? 0) - 1 };
}
