/** Small controls of the legend: what is coloured, by which ramp, in which classes. */
import { MAP_QUANTITIES, shownQuantity } from './quantities.ts';
import type { ClassMethod, MapLook, MapQuantity, RampName } from './types.ts';

const METHODS: Readonly<Record<Exclude<ClassMethod, 'given'>, string>> = {
  continuous: 'Continuous',
  round: 'Round steps',
  equal: 'Equal steps',
  quantile: 'Quantiles',
  standard_deviation: 'Standard deviations',
  natural: 'Natural breaks',
};
const RAMPS: Readonly<Record<Exclude<RampName, 'diverging'>, string>> = {
  viridis: 'Viridis',
  cividis: 'Cividis',
  teal: 'One hue',
};
/** Methods that ask how many classes. */
const COUNTED: readonly ClassMethod[] = ['equal', 'quantile', 'natural'];

interface ControlsProps {
  /** With `cell_m`: of a surface, whose quantity and shape are chosen elsewhere. */
  readonly look: MapLook & { readonly cell_m?: number };
  readonly counts: { readonly least: number; readonly most: number; readonly usual: number };
  readonly onLookChange: (look: MapLook) => void;
}

export function LegendControls({ look: { cell_m, ...look }, counts, onLookChange }: ControlsProps) {
  const { classes } = look;
  const isSurface = cell_m !== undefined;
  const isGiven = classes.method === 'given';
  const sizes = Array.from({ length: counts.most - counts.least + 1 }, (_, i) => counts.least + i);
  return (
    <div className="map-look">
      {!isSurface && (
        <select
          aria-label="Colour by"
          value={look.colourBy}
          onChange={(event) => onLookChange({ ...look, colourBy: event.target.value as MapQuantity })}
        >
          {MAP_QUANTITIES.map((quantity) => (
            <option key={quantity} value={quantity}>
              {shownQuantity(quantity, 'metric').name}
            </option>
          ))}
        </select>
      )}
      <select
        aria-label="Colour ramp"
        value={look.ramp}
        onChange={(event) => onLookChange({ ...look, ramp: event.target.value as RampName })}
      >
        {Object.entries(RAMPS).map(([ramp, words]) => (
          <option key={ramp} value={ramp}>
            {words}
          </option>
        ))}
      </select>
      {!isGiven && (
        <select
          aria-label="Classes"
          value={classes.method}
          onChange={(event) =>
            onLookChange({ ...look, classes: { ...classes, method: event.target.value as ClassMethod } })
          }
        >
          {Object.entries(METHODS).map(([method, words]) => (
            <option key={method} value={method}>
              {words}
            </option>
          ))}
        </select>
      )}
      {!isSurface && (
        <select
          aria-label="Draw as"
          value={look.drawAs ?? 'swaths'}
          onChange={(event) => onLookChange({ ...look, drawAs: event.target.value as MapLook['drawAs'] })}
        >
          <option value="swaths">Cut width</option>
          <option value="points">Points</option>
        </select>
      )}
      {COUNTED.includes(classes.method) && (
        <select
          aria-label="Number of classes"
          value={classes.count ?? counts.usual}
          onChange={(event) =>
            onLookChange({ ...look, classes: { ...classes, count: Number(event.target.value) } })
          }
        >
          {sizes.map((size) => (
            <option key={size}>{size}</option>
          ))}
        </select>
      )}
    </div>
  );
}
