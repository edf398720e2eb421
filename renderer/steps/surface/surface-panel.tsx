/** Surface: the yield of every cell, how sure it is, and how well it foretells ground that it was not told of. */
import './surface.css';
import type { SurfaceTest } from '../../../core/surface/surface-details.ts';
import { SURFACE_DEFAULTS } from '../../../core/surface/surface-plan.ts';
import { tHaFromKgM2 } from '../../../core/units.ts';
import { shownQuantity } from '../../map/quantities.ts';
import type { Session } from '../../session/session.ts';
import { SURFACE_METHOD_WORDS } from '../../session/stage-tiles.ts';
import { type SurfaceView, surfacesOf, useSurface } from '../../session/surfaces.ts';
import { decimal, type Quantity, yieldOf } from '../../text/quantities.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { ClassForm } from './class-form.tsx';
import { MethodForm } from './method-form.tsx';
import { ModelForm } from './model-form.tsx';
import { SurfaceTried } from './surface-tried.tsx';
import { type ShownUnit, surfaceUnits } from './surface-units.ts';
import { SurfaceWork } from './surface-work.tsx';

type ShownYield = (yield_kg_m2: number | null) => Quantity;

export function SurfacePanel({ field, session, state, units, bushel_kg }: StepContext) {
  const view = useSurface();
  const { surface, sheet, draft } = view;
  const surfaces = surfacesOf(session);
  const shown = surfaceUnits(units, bushel_kg);
  const details = surface?.details;
  const isKriged = (sheet.method ?? SURFACE_DEFAULTS.method) === 'kriging';
  const inYield: ShownYield = (yield_kg_m2) =>
    yieldOf(yield_kg_m2 === null ? null : tHaFromKgM2(yield_kg_m2), bushel_kg, units);
  const test = details?.cross_validation ?? null;
  return (
    <Panel
      title={`Surface of ${field.name}`}
      finding={findingOf(view, shown.length, inYield)}
      meaning={<Meaning test={test} />}
    >
      {draft === null && <SurfaceWork view={view} />}
      {details?.notices.map(({ text }) => (
        <p key={text}>{text}</p>
      ))}
      {surface !== null && <OnTheMap session={session} view={view} colourBy={state.view.colourBy} />}
      {surface !== null && (
        <ClassForm
          surfaces={surfaces}
          surface={surface}
          sheet={sheet}
          isZoned={view.isZoned}
          units={units}
          shown={shown}
          yieldUnit={shownQuantity('yield', units, bushel_kg)}
          yieldWords={inYield}
        />
      )}
      <MethodForm surfaces={surfaces} sheet={sheet} details={details} shown={shown} />
      {details !== undefined && isKriged && details.method === 'kriging' && (
        <ModelForm surfaces={surfaces} sheet={sheet} details={details} shown={shown} />
      )}
      {test !== null && (
        <section>
          <h3>
            Passes left out and foretold <span className="quiet">cross-validation</span>
          </h3>
          <Pairs of={figuresOf(test, inYield)} />
        </section>
      )}
      <SurfaceTried view={view} shown={inYield} />
    </Panel>
  );
}

function findingOf({ surface, isMaking }: SurfaceView, length: ShownUnit, shown: ShownYield): string {
  if (surface === null)
    return isMaking
      ? 'The surface is being made: a yield and its standard error for every cell.'
      : 'There is no surface of this field yet.';
  const { details, cell_m } = surface;
  const error = details.cross_validation === null ? null : shown(details.cross_validation.rmse_kg_m2);
  const foretold =
    error === null
      ? ''
      : ` Passes left out are foretold within ${error.number} ${error.unit} (root mean square).`;
  return `${decimal(details.cells, 0)} cells of ${decimal(length.per_si * cell_m, 1)} ${length.unit} by ${SURFACE_METHOD_WORDS[details.method]}.${foretold}`;
}

const SHOWN_WORDS = {
  yield: 'Yield',
  classes: 'Yield in classes, whose limits can be moved in the legend',
  yield_se: 'Its standard error',
} as const;

interface OnTheMapProps {
  readonly session: Session;
  readonly view: SurfaceView;
  readonly colourBy: string;
}

/** What the map shows of the surface. */
function OnTheMap({ session, view: { surface, isClassed }, colourBy }: OnTheMapProps) {
  const hasErrors = surface?.details.method !== 'inverse_distance';
  const held = colourBy === 'yield_se' ? 'yield_se' : isClassed ? 'classes' : 'yield';
  const choose = (one: keyof typeof SHOWN_WORDS) => {
    surfacesOf(session).look({ isClassed: one === 'classes' });
    session.look({ colourBy: one === 'yield_se' ? 'yield_se' : 'yield' });
  };
  return (
    <section>
      <fieldset className="choice-list">
        <legend>On the map</legend>
        {(['yield', 'classes', 'yield_se'] as const).map((one) => (
          <label key={one} className="switch">
            <input
              type="radio"
              name="surface-shown"
              disabled={one === 'yield_se' && !hasErrors}
              checked={held === one}
              onChange={() => choose(one)}
            />
            {SHOWN_WORDS[one]}
            {one === 'yield_se' && !hasErrors && <span className="quiet"> (inverse distance has none)</span>}
          </label>
        ))}
      </fieldset>
    </section>
  );
}

function Meaning({ test }: { readonly test: SurfaceTest | null }) {
  const ratio = test?.mean_squared_ratio ?? null;
  const judged =
    ratio === null
      ? ''
      : ratio > 2
        ? ' Here they are too small: real errors are larger.'
        : ratio < 0.5
          ? ' Here they are on the safe side: real errors are smaller.'
          : ' Here they are about right.';
  return (
    <p>
      Each cell is estimated from the kept points near it. To test that, whole passes are left out and
      foretold from the others: points of one pass are near-copies of each other and would flatter it.
      Standard errors are right when errors squared are as large as they say.{judged}
    </p>
  );
}

function figuresOf(test: SurfaceTest, shown: ShownYield): readonly (readonly [string, Quantity])[] {
  return [
    ['Points foretold', { number: decimal(test.foretold, 0), unit: '' }],
    ['Root mean square error', shown(test.rmse_kg_m2)],
    ['Mean absolute error', shown(test.mae_kg_m2)],
    ['Mean error', shown(test.mean_error_kg_m2)],
    ['Correlation', { number: decimal(test.correlation, 2), unit: '' }],
    ['Squared errors over their variances', { number: decimal(test.mean_squared_ratio, 2), unit: '' }],
  ];
}
