/** Small controls of the legend: what is coloured, by which ramp, in which classes. */
import { MAP_QUANTITIES, shownQuantity } from './quantities.ts';
import type { ClassMethod, MapLook, MapQuantity, RampName } from './types.ts';

const METHODS: Readonly<Record<ClassMethod, string>> = {
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
  readonly look: MapLook;
  readonly counts: { readonly least: number; readonly most: number; readonly usual: number };
  readonly onLookChange: (look: MapLook) => void;
}

export function LegendControls({ look, counts, onLookChange }: ControlsProps) {
  const { classes } = look;
  const sizes = Array.from({ length: counts.most - counts.least + 1 }, (_, i) => counts.least + i);
  return (
    <div className="map-look">
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
      <select
        aria-label="Draw as"
        value={look.drawAs ?? 'swaths'}
        onChange={(event) => onLookChange({ ...look, drawAs: event.target.value as MapLook['drawAs'] })}
      >
        <option value="swaths">Cut width</option>
        <option value="points">Points</option>
      </select>
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
