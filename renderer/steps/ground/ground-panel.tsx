/** Ground: the area that was cut, how wide each cut really was, and what was driven over twice. */
import { useMemo } from 'react';
import { ftFromM } from '../../../core/units.ts';
import { area, decimal, percentOf, width } from '../../text/quantities.ts';
import { Pairs, Panel, type StepContext, Switch } from '../panel.tsx';
import { groundFigures } from './ground-figures.ts';
import { WidthHistogram } from './width-histogram.tsx';

export function GroundPanel({ field, points, units, season, session, reply }: StepContext) {
  const widths_m = useMemo(
    () =>
      reply.machines.map(
        (id) => season.machines.find((machine) => machine.id === id)?.header.width_m ?? Number.NaN,
      ),
    [reply.machines, season.machines],
  );
  const figures = useMemo(
    () => (points === undefined ? null : groundFigures(points, widths_m)),
    [points, widths_m],
  );
  const cut = season.settings?.cut_width;
  const whole = area(field.area_ha, units);
  return (
    <Panel
      title="Ground"
      finding={
        figures === null
          ? 'Loading the points of this field.'
          : `${whole.number} ${whole.unit} were cut in ${field.name}; ${percentOf(figures.overlap_share).number} % of what the header swept had been cut before, and counts once.`
      }
      meaning={
        <p>
          The header’s width is only the most that a pass can cut. What stood under it when it came is its cut
          width; yield is grain over that ground. Overlap within the error of the position counts as full
          width.
        </p>
      }
    >
      {figures !== null && <WidthHistogram figures={figures} units={units} />}
      <Pairs
        of={[
          ['Ground cut', whole],
          ['Swept by the header', area(figures?.swept_ha, units)],
          ['Swept twice', percentOf(figures?.overlap_share)],
          ['Median cut width', width(figures?.median_m, units)],
          ['Passes', { number: decimal(figures?.passes, 0), unit: '' }],
          [
            'Mean error of a point’s width',
            {
              number: decimal(
                units === 'us' ? ftFromM(figures?.width_se_m ?? Number.NaN) : figures?.width_se_m,
                2,
              ),
              unit: units === 'us' ? 'ft' : 'm',
            },
          ],
        ]}
      />
      <section>
        <h3>By hand</h3>
        <div className="row">
          <Switch
            label="Cut width in whole rows"
            isOn={cut?.whole_rows === true}
            onChange={(isOn) =>
              void session.edit({ kind: 'set_cut_width', change: { whole_rows: isOn ? true : null } })
            }
          />
          <span className="estimate">Off by default: it needs the number of rows of the header.</span>
        </div>
      </section>
    </Panel>
  );
}
