/** Surface: the yield of every cell, how sure it is, and how well it foretells ground that it was not told of. */
import type { SurfaceReply, SurfaceTest } from '../../../core/surface/surface-details.ts';
import { tHaFromKgM2 } from '../../../core/units.ts';
import { SURFACE_METHOD_WORDS } from '../../session/stage-tiles.ts';
import { useSurface } from '../../session/surfaces.ts';
import { decimal, type Quantity, yieldOf } from '../../text/quantities.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { SurfaceForm } from './surface-form.tsx';
import { type ShownUnit, surfaceUnits } from './surface-units.ts';
import { VariogramChart } from './variogram-chart.tsx';
import { ZoneForm } from './zone-form.tsx';

export function SurfacePanel({ field, season, session, state, units, bushel_kg }: StepContext) {
  const { surface, isMaking, trouble, isZoned } = useSurface();
  const title = `Surface of ${field.name}`;
  if (trouble !== null) return <Panel title={title} finding={trouble} />;
  if (surface === null) return <Panel title={title} finding={MAKING} />;
  const { details, cell_m } = surface;
  const shown = (yield_kg_m2: number | null) =>
    yieldOf(yield_kg_m2 === null ? null : tHaFromKgM2(yield_kg_m2), bushel_kg, units);
  const test = details.cross_validation;
  const error = shown(test?.rmse_kg_m2 ?? null);
  const foretold =
    test === null
      ? ''
      : ` Passes left out are foretold within ${error.number} ${error.unit} (root mean square).`;
  const { colourBy } = state.view;
  const { length } = surfaceUnits(units, bushel_kg);
  return (
    <Panel
      title={title}
      finding={`${decimal(details.cells, 0)} cells of ${decimal(length.per_si * cell_m, 1)} ${length.unit} by ${SURFACE_METHOD_WORDS[details.method]}.${foretold}${isMaking ? ` ${MAKING}` : ''}`}
      meaning={<Meaning test={test} />}
    >
      {details.notices.map(({ text }) => (
        <p key={text}>{text}</p>
      ))}
      <section>
        <fieldset className="choice-list">
          <legend>On the map</legend>
          {(['yield', 'yield_se'] as const).map((quantity) => (
            <label key={quantity} className="switch">
              <input
                type="radio"
                name="surface-shown"
                disabled={quantity === 'yield_se' && details.method === 'inverse_distance'}
                checked={(colourBy === 'yield_se') === (quantity === 'yield_se')}
                onChange={() => session.look({ colourBy: quantity })}
              />
              {quantity === 'yield' ? 'Yield' : 'Its standard error'}
            </label>
          ))}
        </fieldset>
      </section>
      <VariogramChart details={details} shown={surfaceUnits(units, bushel_kg)} />
      {details.directions.length > 0 && <Pairs of={rangesOf(details, length)} />}
      {test !== null && <Pairs of={figuresOf(test, shown)} />}
      <ZoneForm
        session={session}
        surface={surface}
        sheet={season.settings?.surface ?? {}}
        isZoned={isZoned}
        units={units}
        bushel_kg={bushel_kg}
      />
      <SurfaceForm
        session={session}
        sheet={season.settings?.surface ?? {}}
        details={details}
        cell_m={cell_m}
        shown={surfaceUnits(units, bushel_kg)}
      />
    </Panel>
  );
}

const MAKING = 'The surface is being made.';

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

const DIRECTIONS = ['north–south', 'north-east–south-west', 'east–west', 'south-east–north-west'];

/** How far yields are alike in each direction: much further one way than another is worth a model of its own. */
function rangesOf({ directions }: SurfaceReply, length: ShownUnit): readonly (readonly [string, Quantity])[] {
  return directions.map(({ azimuth_deg, effective_range_m }) => [
    `Alike ${DIRECTIONS[azimuth_deg / 45]} up to`,
    {
      number: decimal(effective_range_m === null ? null : length.per_si * effective_range_m, 0),
      unit: length.unit,
    },
  ]);
}

function figuresOf(
  test: SurfaceTest,
  shown: (yield_kg_m2: number | null) => Quantity,
): readonly (readonly [string, Quantity])[] {
  return [
    ['Points foretold', { number: decimal(test.foretold, 0), unit: '' }],
    ['Root mean square error', shown(test.rmse_kg_m2)],
    ['Mean absolute error', shown(test.mae_kg_m2)],
    ['Mean error', shown(test.mean_error_kg_m2)],
    ['Correlation', { number: decimal(test.correlation, 2), unit: '' }],
    ['Squared errors over their variances', { number: decimal(test.mean_squared_ratio, 2), unit: '' }],
  ];
}
