/** Marks, drawing, what the place costs, kit and steps. */
import { columnDrawings } from '../../core/export/sheets/column-drawing.ts';
import { DEFER, fittingKit, fittingSteps, wireSentence } from '../../core/install/fitting-steps.ts';
import { lengthText } from '../../core/install/inch-fraction.ts';
import type { Placement, PlacementSheet } from '../../core/install/placement.ts';
import { FILLS, SLOPES, type SlopeError } from '../../core/install/placement-errors.ts';
import { StateMark } from '../app/figure.tsx';
import { decimal, type UnitSystem } from '../text/quantities.ts';
import { Drawing } from './drawing.tsx';

interface PlacementResultProps {
  readonly placement: Placement;
  readonly measures: PlacementSheet;
  readonly units: UnitSystem;
}

export function PlacementResult({ placement, measures, units }: PlacementResultProps) {
  const { tools, consumables } = fittingKit(placement, units);
  return (
    <>
      <Marks placement={placement} units={units} />
      <section>
        <h2>The column to scale</h2>
        <Drawing markup={columnDrawings(placement, measures, units)} />
      </section>
      <Costs placement={placement} />
      <section>
        <h2>What you need</h2>
        <div className="fit-kit">
          <List title="Tools" items={tools} />
          <List title="Consumables" items={consumables} />
        </div>
        <h3>Wire and fuse</h3>
        <p>{wireSentence()}</p>
      </section>
      <section>
        <h2>Steps</h2>
        <p>{DEFER}</p>
        <ol className="fit-steps">
          {fittingSteps(placement, units).map(({ title, cautions, doings }) => (
            <li key={title}>
              <h3>{title}</h3>
              {cautions.map((caution) => (
                <p key={caution} className="fit-caution">
                  <StateMark state="mend" /> {caution}
                </p>
              ))}
              <ul>
                {doings.map((doing) => (
                  <li key={doing}>{doing}</li>
                ))}
              </ul>
            </li>
          ))}
        </ol>
      </section>
    </>
  );
}

function Marks({ placement, units }: Pick<PlacementResultProps, 'placement' | 'units'>) {
  const { height_mm, from_back_mm, pilot_mm, hole_mm, remarks } = placement;
  const other: UnitSystem = units === 'us' ? 'metric' : 'us';
  const marks = [
    ['above the centre of the lower shaft', height_mm, 16],
    ['from the outside of the column’s back', from_back_mm, 32],
    ['pilot hole', pilot_mm, 32],
    ['full hole', hole_mm, 32],
  ] as const;
  return (
    <section>
      <h2>Mark, the same on the outer and the inner face</h2>
      <dl className="fit-marks">
        {marks.map(([words, mm, parts]) => (
          <div key={words}>
            <dt>{words}</dt>
            <dd>
              <b>{lengthText(mm, units, parts)}</b>{' '}
              <span className="unit">{lengthText(mm, other, parts)}</span>
            </dd>
          </div>
        ))}
      </dl>
      <ul className="fit-remarks">
        {remarks.map((remark) => (
          <li key={remark}>{remark}</li>
        ))}
      </ul>
    </section>
  );
}

function Costs({ placement }: Pick<PlacementResultProps, 'placement'>) {
  const { slope_errors, slot_errors, behind_middle_mm, lag_share_s, empty_level } = placement;
  const cells = (errors: readonly SlopeError[], slope: number, where: string) =>
    FILLS.map((fill) => {
      const found = errors.find((one) => one.slope === slope && one.fill === fill);
      return <td key={`${where}${fill}`}>± {decimal(found?.flow_error_pct, 1)} %</td>;
    });
  const heads = (where: string) =>
    FILLS.map((fill) => (
      <th scope="col" key={`${where}${fill}`}>
        heap {100 * fill} %
      </th>
    ));
  return (
    <section>
      <h2>What the place costs</h2>
      <p>
        The beam looks {decimal(behind_middle_mm, 1)} mm behind the middle of the grain. On a slope θ it sees
        a heap δ·tan θ too high or too low; the figures are of the flow, before correction, by how much of the
        pitch the heap takes up.{' '}
        {lag_share_s === undefined
          ? 'With the chain speed, the elevator’s own share of the lag stands here.'
          : `Of the lag, ${decimal(lag_share_s, 2)} s are the elevator’s own.`}{' '}
        Empty and running, the beam should be dark for {decimal(100 * empty_level, 1)} % of the time.
      </p>
      <div className="table-wrap">
        <table>
          <thead>
            <tr>
              <td />
              <th scope="colgroup" colSpan={FILLS.length}>
                at the mark
              </th>
              <th scope="colgroup" colSpan={FILLS.length}>
                each 5 mm off it
              </th>
            </tr>
            <tr>
              <td />
              {heads('mark')}
              {heads('off')}
            </tr>
          </thead>
          <tbody>
            {SLOPES.map((slope) => (
              <tr key={slope}>
                <th scope="row">slope {100 * slope} %</th>
                {cells(slope_errors, slope, 'mark')}
                {cells(slot_errors, slope, 'off')}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function List({ title, items }: { readonly title: string; readonly items: readonly string[] }) {
  return (
    <div>
      <h3>{title}</h3>
      <ul>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </div>
  );
}
