/** How surfaces are made: found from the data, or entered by hand. */
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { SURFACE_DEFAULTS } from '../../../core/surface/surface-plan.ts';
import type { SurfaceModelSheet, SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import type { Session } from '../../session/session.ts';
import { SURFACE_METHOD_WORDS } from '../../session/stage-tiles.ts';
import { NumberEntry } from '../panel.tsx';
import { T2_HA2 } from './variogram-chart.tsx';

const SHAPES = ['spherical', 'exponential', 'gaussian', 'matern'] as const;
const METHODS = ['kriging', 'inverse_distance', 'block_mean'] as const;

interface SurfaceFormProps {
  readonly session: Session;
  readonly sheet: SurfaceSheet;
  readonly details: SurfaceReply;
  readonly cell_m: number;
}

export function SurfaceForm({ session, sheet, details, cell_m }: SurfaceFormProps) {
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
          unit="m"
          entered={sheet.cell_m}
          fallback={cell_m}
          onEnter={(side_m) => set({ cell_m: side_m })}
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
      {details.model !== null && <ModelForm sheet={sheet} details={details} set={set} />}
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
  readonly set: (change: Patch<SurfaceSheet>) => void;
}

function ModelForm({ sheet, details, set }: ModelFormProps) {
  const { model } = details;
  if (model === null) return null;
  const setModel = (change: Partial<SurfaceModelSheet> | null) => {
    if (change === null) return set({ model: null });
    const { nugget, partial_sill, range_m, smoothness } = model;
    const kept = { nugget, partial_sill, range_m, ...(smoothness === undefined ? {} : { smoothness }) };
    set({ shape: model.shape, model: { ...kept, ...change } });
  };
  const entry = (label: string, key: 'nugget' | 'partial_sill' | 'range_m', unit: string, factor: number) => (
    <div className="measure">
      <NumberEntry
        label={label}
        unit={unit}
        entered={sheet.model === undefined ? undefined : factor * sheet.model[key]}
        fallback={factor * model[key]}
        onEnter={(number) => setModel(number === null ? null : { [key]: number / factor })}
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
      {entry('Nugget', 'nugget', '(t/ha)²', T2_HA2)}
      {entry('Partial sill', 'partial_sill', '(t/ha)²', T2_HA2)}
      {entry('Range', 'range_m', 'm', 1)}
    </>
  );
}
