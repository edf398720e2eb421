/** How surfaces are made: found from the data, or entered by hand. */
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { SURFACE_DEFAULTS } from '../../../core/surface/surface-plan.ts';
import type { SurfaceModelSheet, SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import type { Session } from '../../session/session.ts';
import { SURFACE_METHOD_WORDS } from '../../session/stage-tiles.ts';
import { NumberEntry } from '../panel.tsx';
import type { ShownUnit, SurfaceUnits } from './surface-units.ts';

const SHAPES = ['spherical', 'exponential', 'gaussian', 'matern'] as const;
const METHODS = ['kriging', 'inverse_distance', 'block_mean'] as const;

interface SurfaceFormProps {
  readonly session: Session;
  readonly sheet: SurfaceSheet;
  readonly details: SurfaceReply;
  readonly cell_m: number;
  readonly shown: SurfaceUnits;
}

export function SurfaceForm({ session, sheet, details, cell_m, shown }: SurfaceFormProps) {
  const { length } = shown;
  const set = (change: Patch<SurfaceSheet>) => void session.edit({ kind: 'set_surface', change });
  const method = sheet.method ?? SURFACE_DEFAULTS.method;
  return (
    <section>
      <fieldset className="choice-list">
        <legend>How cells are made</legend>
        {METHODS.map((one) => (
          <label key={one} className="switch">
            <input
              type="radio"
              name="surface-method"
              checked={method === one}
              onChange={() => set({ method: one === SURFACE_DEFAULTS.method ? null : one })}
            />
            {METHOD_HELP[one]}
          </label>
        ))}
      </fieldset>
      <div className="measure">
        <NumberEntry
          label="Side of a cell"
          unit={length.unit}
          entered={sheet.cell_m === undefined ? undefined : length.per_si * sheet.cell_m}
          fallback={length.per_si * cell_m}
          onEnter={(side) => set({ cell_m: side === null ? null : side / length.per_si })}
        />
      </div>
      {method !== 'block_mean' && (
        <div className="measure">
          <NumberEntry
            label="Points a cell is made of"
            unit=""
            step={1}
            entered={sheet.neighbours}
            fallback={details.neighbours}
            onEnter={(neighbours) => set({ neighbours })}
          />
        </div>
      )}
      {method === 'inverse_distance' && (
        <div className="measure">
          <NumberEntry
            label="Power of the distance"
            unit=""
            entered={sheet.power}
            fallback={details.power}
            onEnter={(power) => set({ power })}
          />
        </div>
      )}
      {details.model !== null && <ModelForm sheet={sheet} details={details} shown={shown} set={set} />}
    </section>
  );
}

const METHOD_HELP = {
  kriging: `By ${SURFACE_METHOD_WORDS.kriging}: points weighed by how alike yields are, with standard errors (default)`,
  inverse_distance: `By ${SURFACE_METHOD_WORDS.inverse_distance}: nearer points weigh more`,
  block_mean: `By ${SURFACE_METHOD_WORDS.block_mean} of the points in each cell`,
} as const;

interface ModelFormProps {
  readonly sheet: SurfaceSheet;
  readonly details: SurfaceReply;
  readonly shown: SurfaceUnits;
  readonly set: (change: Patch<SurfaceSheet>) => void;
}

function ModelForm({ sheet, details, shown, set }: ModelFormProps) {
  const { model } = details;
  if (model === null) return null;
  const setModel = (change: Partial<SurfaceModelSheet> | null) => {
    if (change === null) return set({ model: null });
    const { nugget, partial_sill, range_m, smoothness } = model;
    const kept = { nugget, partial_sill, range_m, ...(smoothness === undefined ? {} : { smoothness }) };
    set({ shape: model.shape, model: { ...kept, ...change } });
  };
  const entry = (label: string, key: 'nugget' | 'partial_sill' | 'range_m', { unit, per_si }: ShownUnit) => (
    <div className="measure">
      <NumberEntry
        label={label}
        unit={unit}
        entered={sheet.model === undefined ? undefined : per_si * sheet.model[key]}
        fallback={per_si * model[key]}
        onEnter={(number) => setModel(number === null ? null : { [key]: number / per_si })}
      />
    </div>
  );
  return (
    <>
      <p className="row">
        <label>
          Shape of the model{' '}
          <select
            value={sheet.shape ?? 'auto'}
            onChange={({ target }) => {
              const shape = SHAPES.find((one) => one === target.value) ?? null;
              set({ shape, model: null });
            }}
          >
            <option value="auto">what fits best ({model.shape})</option>
            {SHAPES.map((shape) => (
              <option key={shape} value={shape}>
                {shape}
              </option>
            ))}
          </select>
        </label>
      </p>
      {entry('Nugget', 'nugget', shown.square)}
      {entry('Partial sill', 'partial_sill', shown.square)}
      {entry('Range', 'range_m', shown.length)}
    </>
  );
}
