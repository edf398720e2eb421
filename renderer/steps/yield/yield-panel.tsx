/** Yield: how much grain, from how much ground, how sure; and how it is spread over the field. */

import { Figure } from '../../app/figure.tsx';
import { YieldHistogram } from '../../charts/yield-histogram.tsx';
import { errorOfField, intervalOf } from '../../session/season-figures.ts';
import { area, decimal, grainMass, percentOf, withError, yieldOf } from '../../text/quantities.ts';
import { LEGAL_LINE } from '../../text/words.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { SettleForm } from './settle-form.tsx';

export function YieldPanel(context: StepContext) {
  const { field, points, units, bushel_kg, summary } = context;
  const error_kg = errorOfField(field);
  const half = error_kg === null ? null : 1.96 * error_kg;
  const total = grainMass(field.mass_std_kg, bushel_kg, units);
  const mean = yieldOf(field.mean_yield_t_ha, bushel_kg, units);
  const meanError = yieldOf(
    field.mean_yield_se_t_ha === null ? null : 1.96 * field.mean_yield_se_t_ha,
    bushel_kg,
    units,
  );
  const isCalibrated = summary.calibrations.some(
    (fit) => fit.crop === field.crop && fit.loads.some((load) => load.used),
  );
  return (
    <Panel
      title={`Yield of ${field.name}`}
      finding={
        isCalibrated && half !== null
          ? `${total.number} ${total.unit} of ${field.crop} at ${decimal(field.standard_moisture_pct, 1)} % moisture, sure to ± ${percentOf(half / field.mass_std_kg).number} % (95 %).`
          : 'No scale ticket covers this crop: the pattern holds, the weight does not.'
      }
      meaning={
        <p>
          The total is all grain cut in the field over all ground cut in it, not the mean of the points on the
          map. ± is the 95 % interval from the calibration, the scale and the ground. It would shrink with
          more loads, weighed at the flows that this field was cut at.
        </p>
      }
    >
      {points !== undefined && (
        <YieldHistogram
          yield_kg_m2={points.yield_kg_m2}
          area_m2={points.fresh_area_m2}
          screened_by={points.screened_by}
          units={units}
          bushel_kg={bushel_kg}
        />
      )}
      <section>
        <p className="big">
          <Figure of={total} />
        </p>
        {half !== null && (
          <p>
            <Figure of={intervalOf(field, bushel_kg, units)} /> <span className="quiet">(95 %)</span>
          </p>
        )}
        <p className="estimate">{LEGAL_LINE}. Settle on certified scale tickets.</p>
      </section>
      <Pairs
        of={[
          ['Mean yield', withError(mean, meanError)],
          ['Ground cut', area(field.area_ha, units)],
          ['Moisture as harvested', { number: decimal(field.moisture_pct, 1), unit: '%' }],
          ['Standard moisture', { number: decimal(field.standard_moisture_pct, 1), unit: '%' }],
          ['Grain as harvested', grainMass(field.mass_wet_kg, bushel_kg, units)],
          [
            'Points on the map',
            { number: `${decimal(field.points.kept, 0)} of ${decimal(field.points.total, 0)}`, unit: '' },
          ],
          ...partPairs(field),
        ]}
      />
      <SettleForm key={`${field.name} ${units}`} {...context} />
    </Panel>
  );
}

/** What the interval is made of, largest first. */
function partPairs({ uncertainty }: StepContext['field']) {
  if (uncertainty === undefined) return [];
  const { calibration, moisture, area: ground } = uncertainty.parts_pct;
  const parts = [
    ['Interval: from the calibration', calibration],
    ['Interval: from the moisture meter', moisture],
    ['Interval of the yield: from the ground', ground],
  ] as const;
  return parts
    .filter(([, part]) => part !== null)
    .map(([words, part]) => [words, { number: `± ${decimal(1.96 * (part ?? 0), 2)}`, unit: '%' }] as const);
}
