/** What came of a comparison: chart, sentences, differences, power, strips, what was left out, and what stands against it. */
import type {
  ComparedStrip,
  FieldComparison,
  TreatmentDifference,
} from '../../../core/analysis/comparison/comparison-result.ts';
import type { ComparisonSheet } from '../../../core/analysis/comparison/comparison-sheet.ts';
import { Figure, StateMark } from '../../app/figure.tsx';
import { ComparisonChart } from '../../charts/comparison-chart.tsx';
import { TreatmentMark, treatmentsIn } from '../../charts/treatment-mark.tsx';
import { comparisonsOf } from '../../session/comparisons.ts';
import { isDrawable } from '../../session/strip-draft.ts';
import { area, decimal, yieldOf } from '../../text/quantities.ts';
import { LEGAL_LINE } from '../../text/words.ts';
import { Pairs, type StepContext } from '../panel.tsx';
import { BufferForm } from './buffer-form.tsx';
import { leftOutWords, shownYield } from './compare-words.ts';

interface ResultProps extends StepContext {
  readonly sheet: ComparisonSheet;
  /** Undefined until the host has answered, or where it could not be made. */
  readonly made: FieldComparison | undefined;
}

export function ComparisonResult({ sheet, made, ...context }: ResultProps) {
  const { units, bushel_kg, session } = context;
  const comparisons = comparisonsOf(session);
  const shown = shownYield(units, bushel_kg);
  return (
    <>
      {made !== undefined && (
        <>
          <ComparisonChart comparison={made} {...shown} />
          {made.cautions.length > 0 && (
            <section>
              <h3>What stands against it</h3>
              <ul className="findings">
                {made.cautions.map((text) => (
                  <li key={text}>
                    <StateMark state="look" />
                    <span>{text}</span>
                  </li>
                ))}
              </ul>
            </section>
          )}
          <section>
            <h3>What follows</h3>
            {made.told.slice(1).map((text) => (
              <p key={text} className="told">
                {text}
              </p>
            ))}
            <Differences made={made} {...context} />
            <Power made={made} {...context} />
            <p className="hint-line">{made.design.about}</p>
          </section>
          <section>
            <h3>Strips</h3>
            <StripTable made={made} {...context} />
            <p className="hint-line">{leftOutWords(made)}</p>
            <p className="estimate">{LEGAL_LINE}.</p>
          </section>
        </>
      )}
      <BufferForm sheet={sheet} {...context} />
      <section>
        <div className="row">
          {isDrawable(sheet) && (
            <button type="button" className="framed" onClick={() => comparisons.draw(sheet.field, sheet)}>
              Change strips on the map
            </button>
          )}
          <button type="button" className="plain" onClick={() => void comparisons.remove(sheet.name)}>
            Remove {sheet.name}
          </button>
        </div>
      </section>
    </>
  );
}

type MadeProps = Pick<StepContext, 'units' | 'bushel_kg'> & { readonly made: FieldComparison };

function Differences({ made, units, bushel_kg }: MadeProps) {
  const { differences, alpha_pct } = made;
  if (differences.length === 0) return null;
  const { unit } = yieldOf(1, bushel_kg, units);
  const number = (yield_t_ha: number | null) => yieldOf(yield_t_ha, bushel_kg, units).number;
  return (
    <section className="table-wrap">
      <table>
        <caption className="unseen">Differences between treatments</caption>
        <thead>
          <tr>
            <th scope="col">Difference</th>
            <th scope="col">{unit}</th>
            <th scope="col">{decimal(100 - alpha_pct, 0)} % interval</th>
            <th scope="col">by chance</th>
          </tr>
        </thead>
        <tbody>
          {differences.map((one) => (
            <tr key={`${one.higher} ${one.lower}`} className={one.can_be_told ? undefined : 'aside'}>
              <th scope="row" className="wraps">
                {one.higher} over {one.lower}
                {!one.can_be_told && <span className="quiet"> (cannot be told apart)</span>}
              </th>
              <td className="number">{number(one.difference_t_ha)}</td>
              <td className="number">
                {one.interval_t_ha === null
                  ? '–'
                  : `${number(one.interval_t_ha[0])} to ${number(one.interval_t_ha[1])}`}
              </td>
              <td className="number">{chanceOf(one)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** `1.3 %`, `< 0.1 %` */
function chanceOf({ p }: TreatmentDifference): string {
  if (p === null) return '–';
  return p < 0.001 ? '< 0.1 %' : `${decimal(100 * p, 1)} %`;
}

function Power({ made: { power }, units, bushel_kg }: MadeProps) {
  if (power === null) return null;
  const chance = decimal(100 * power.power, 0);
  return (
    <Pairs
      of={[
        [
          `You would see, in ${chance} of 100 such trials, a difference of`,
          yieldOf(power.least_detectable_t_ha, bushel_kg, units),
        ],
        ...power.needed.map(({ difference_t_ha, replicates }) => {
          const { number, unit } = yieldOf(difference_t_ha, bushel_kg, units);
          const needed = replicates === null ? 'too many' : decimal(replicates, 0);
          return [`Replicates to see ${number} ${unit}`, { number: needed, unit: '' }] as const;
        }),
      ]}
    />
  );
}

function StripTable({ made, units, bushel_kg }: MadeProps) {
  const { strips } = made;
  const treatments = treatmentsIn(strips);
  const hasBlocks = strips.some(({ block }) => block !== null);
  return (
    <section className="table-wrap">
      <table className="strips">
        <caption className="unseen">Strips of {made.name}</caption>
        <thead>
          <tr>
            <th scope="col">Treatment</th>
            {hasBlocks && <th scope="col">{made.design.kind === 'pairs' ? 'pair' : 'block'}</th>}
            <th scope="col">{area(1, units).unit}</th>
            <th scope="col">points</th>
            <th scope="col">{yieldOf(1, bushel_kg, units).unit} ± se</th>
            <th scope="col">moisture</th>
          </tr>
        </thead>
        <tbody>
          {strips.map((strip, k) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: strips have no name of their own
            <tr key={k} className={strip.yield_t_ha === null ? 'aside' : undefined}>
              <th scope="row" className="wraps">
                <TreatmentMark of={treatments.indexOf(strip.treatment)} /> {strip.treatment}
              </th>
              {hasBlocks && <td>{strip.block ?? '–'}</td>}
              <td className="number">{area(strip.area_ha, units).number}</td>
              <td className="number">{decimal(strip.points, 0)}</td>
              <td className="number">{meanOf(strip, units, bushel_kg)}</td>
              <td>
                <Figure of={{ number: decimal(strip.moisture_pct, 1), unit: '%' }} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function meanOf(strip: ComparedStrip, units: StepContext['units'], bushel_kg: number): string {
  const mean = yieldOf(strip.yield_t_ha, bushel_kg, units).number;
  if (strip.yield_se_t_ha === null) return mean;
  return `${mean} ± ${yieldOf(strip.yield_se_t_ha, bushel_kg, units).number}`;
}
