/** Flow: how much grain passed the beam in a second, over the field's cutting. */
import { useMemo } from 'react';
import { massFlow } from '../../text/quantities.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { flowFigures } from './flow-figures.ts';
import { FlowHistogram } from './flow-histogram.tsx';

export function FlowPanel({ field, points, units, summary }: StepContext) {
  const figures = useMemo(() => (points === undefined ? null : flowFigures(points)), [points]);
  const flows = summary.calibrations
    .filter(({ crop }) => crop === field.crop)
    .flatMap(({ loads }) =>
      loads.filter(({ used }) => used).flatMap(({ mean_flow_kg_s }) => mean_flow_kg_s ?? []),
    );
  const low = flows.length > 0 ? Math.min(...flows) : null;
  const high = flows.length > 0 ? Math.max(...flows) : null;
  const median = massFlow(figures?.median_kg_s, units);
  return (
    <Panel
      title="Flow"
      finding={
        figures === null
          ? 'Loading the points of this field.'
          : `Half of the time in ${field.name} the elevator carried more than ${median.number} ${median.unit}; in one tenth of it more than ${massFlow(figures.tenth_most_kg_s, units).number}.`
      }
      meaning={
        <p>
          Flow is what the calibration is made on: a total is surest where loads were weighed at the same
          flow. Weigh the next load where the bars are tall and no load stands below them.
        </p>
      }
    >
      {figures !== null && <FlowHistogram figures={figures} loads_kg_s={flows} units={units} />}
      {figures !== null && (
        <Pairs
          of={[
            ['Median flow while cutting', median],
            ['One tenth of the time below', massFlow(figures.tenth_least_kg_s, units)],
            ['One tenth of the time above', massFlow(figures.tenth_most_kg_s, units)],
            [
              'Mean flows of the loads in the fit',
              {
                number: `${massFlow(low, units).number} to ${massFlow(high, units).number}`,
                unit: massFlow(high, units).unit,
              },
            ],
          ]}
        />
      )}
    </Panel>
  );
}
