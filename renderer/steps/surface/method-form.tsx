/** How cells are made: by which method, how large, of which points. */
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { SURFACE_DEFAULTS } from '../../../core/surface/surface-plan.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import { SURFACE_METHOD_WORDS } from '../../session/stage-tiles.ts';
import type { Surfaces } from '../../session/surfaces.ts';
import { decimal } from '../../text/quantities.ts';
import { SettingEntry } from './setting-entry.tsx';
import type { SurfaceUnits } from './surface-units.ts';

const METHODS = ['kriging', 'inverse_distance', 'block_mean'] as const;

const METHOD_HELP = {
  kriging: `By ${SURFACE_METHOD_WORDS.kriging}: points weighed by how alike yields are, with standard errors (default)`,
  inverse_distance: `By ${SURFACE_METHOD_WORDS.inverse_distance}: nearer points weigh more`,
  block_mean: `By ${SURFACE_METHOD_WORDS.block_mean} of the points in each cell`,
} as const;

interface MethodFormProps {
  readonly surfaces: Surfaces;
  readonly sheet: SurfaceSheet;
  /** Absent until there is a surface. */
  readonly details: SurfaceReply | undefined;
  readonly shown: SurfaceUnits;
}

export function MethodForm({ surfaces, sheet, details, shown }: MethodFormProps) {
  const { length } = shown;
  const method = sheet.method ?? SURFACE_DEFAULTS.method;
  const suggested_m = details?.suggested_cell_m ?? null;
  const inLength = (length_m: number | null, digits = 1) =>
    `${decimal(length_m === null ? null : length.per_si * length_m, digits)} ${length.unit}`;
  return (
    <section>
      <fieldset className="choice-list">
        <legend>
          How cells are made <span className="quiet">in all fields</span>
        </legend>
        {METHODS.map((one) => (
          <label key={one} className="switch">
            <input
              type="radio"
              name="surface-method"
              checked={method === one}
              onChange={() => surfaces.try({ method: one === SURFACE_DEFAULTS.method ? null : one })}
            />
            {METHOD_HELP[one]}
          </label>
        ))}
      </fieldset>
      <SettingEntry
        surfaces={surfaces}
        label="Side of a cell"
        unit={length}
        entered={sheet.cell_m}
        fallback={suggested_m}
        within={[0.5, 500]}
        changeFor={(cell_m) => ({ cell_m })}
      >
        Suggested{suggested_m === null ? '' : ` ${inLength(suggested_m)}`}: half the usual cut width, since
        across the passes nothing finer was measured, and a point or more for each cell.
      </SettingEntry>
      {method !== 'block_mean' && <SearchEntries {...{ surfaces, sheet, details, shown, inLength }} />}
      {method === 'inverse_distance' && (
        <SettingEntry
          surfaces={surfaces}
          label="Power of the distance"
          entered={sheet.power}
          fallback={SURFACE_DEFAULTS.power}
          within={[0.1, 10]}
          changeFor={(power) => ({ power })}
        >
          Default {SURFACE_DEFAULTS.power}: twice as far, a quarter of the weight. A larger one makes the map
          spottier.
        </SettingEntry>
      )}
      {method === 'kriging' && (
        <SettingEntry
          surfaces={surfaces}
          label="Side of the block averaged"
          unit={length}
          entered={sheet.block_m}
          fallback={sheet.cell_m ?? suggested_m}
          within={[0, 500]}
          changeFor={(block_m) => ({ block_m })}
        >
          Default: the cell itself, so that each shows the mean of its ground. 0 estimates its middle alone,
          with a larger standard error.
        </SettingEntry>
      )}
    </section>
  );
}

interface SearchEntriesProps extends MethodFormProps {
  readonly inLength: (length_m: number | null, digits?: number) => string;
}

function SearchEntries({ surfaces, sheet, details, shown, inLength }: SearchEntriesProps) {
  return (
    <>
      <SettingEntry
        surfaces={surfaces}
        label="Neighbours of a cell"
        isWhole
        entered={sheet.neighbours}
        fallback={SURFACE_DEFAULTS.neighbours}
        within={[4, 500]}
        changeFor={(neighbours) => ({ neighbours })}
      >
        Default {SURFACE_DEFAULTS.neighbours} points. In a study of thirty fields 5 to 30 did best (Kravchenko
        and Bullock, 1999); more take longer.
      </SettingEntry>
      <SettingEntry
        surfaces={surfaces}
        label="Most from each eighth around"
        isWhole
        entered={sheet.octant_neighbours}
        fallback={null}
        within={[1, 100]}
        changeFor={(octant_neighbours) => ({ octant_neighbours })}
      >
        Default: the nearest, wherever they lie. Points lie close along a pass and far between passes; 4 from
        each of eight directions brings in the passes beside.
      </SettingEntry>
      <SettingEntry
        surfaces={surfaces}
        label="Points count up to"
        unit={shown.length}
        entered={sheet.search_m}
        fallback={details?.search_m ?? null}
        within={[1, 10_000]}
        changeFor={(search_m) => ({ search_m })}
      >
        Default: as far as yields are alike
        {details?.search_m ? `, here ${inLength(details.search_m, 0)}` : ''}, and a few cells at least.
      </SettingEntry>
    </>
  );
}
