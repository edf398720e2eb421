/** What is left: margin of the field and of the treatments compared in it, by prices and costs that are changed in place. */
import type { Margin } from '../../../core/analysis/margin/margin.ts';
import { Figure } from '../../app/figure.tsx';
import { TreatmentMark, treatmentsIn } from '../../charts/treatment-mark.tsx';
import { useAskedComparisons } from '../../session/comparisons.ts';
import { decimal, type Quantity, type UnitSystem, yieldOf } from '../../text/quantities.ts';
import { capitalised, LEGAL_LINE } from '../../text/words.ts';
import { Pairs, Panel, type StepContext } from '../panel.tsx';
import { Asked } from './asked.tsx';
import { CostForm } from './cost-form.tsx';
import { PriceForm } from './price-form.tsx';
import { perShownArea } from './price-sheets.ts';

export function MarginPage(context: StepContext) {
  const { field, units, bushel_kg } = context;
  const compared = useAskedComparisons();
  const margins = compared.reply?.margins ?? null;
  const own = margins?.fields.find((one) => one.field === field.name);
  const treated = margins?.treatments.filter((one) => one.field === field.name) ?? [];
  const currency = margins?.currency ?? '';
  const money = (per_ha: number) => moneyOf(per_ha, currency, units);
  return (
    <Panel
      title={`Margin of ${field.name}`}
      finding={
        own === undefined
          ? compared.reply === null
            ? 'What the grain brings, less drying, hauling and the costs of the ground.'
            : `There is no price of ${field.crop} yet: enter one, and the map, the strips and the field answer in money.`
          : `${money(own.margin.margin_per_ha).number} ${money(1).unit} are left after costs, ${decimal(own.total, 0)} ${currency} in all${breakEvenWords(own.margin, units, bushel_kg)}.`
      }
      meaning={margins?.formulas.map((formula) => <p key={formula}>{formula}</p>)}
    >
      <Asked {...compared} />
      {own !== undefined && (
        <section>
          <p className="big">
            <Figure of={money(own.margin.margin_per_ha)} />
          </p>
          <MarginParts margin={own.margin} money={money} />
          <p className="estimate">{LEGAL_LINE}. Settle on certified scale tickets.</p>
        </section>
      )}
      {treated.map(({ comparison, treatments, told }) => {
        const made = compared.reply?.comparisons.find(({ name }) => name === comparison);
        const places = treatmentsIn(made?.strips ?? []);
        return (
          <section key={comparison}>
            <h3>
              {comparison} <span className="quiet">margin of each treatment</span>
            </h3>
            {told !== null && <p className="told">{capitalised(told)}</p>}
            <section className="table-wrap">
              <table>
                <caption className="unseen">Margins of {comparison}</caption>
                <thead>
                  <tr>
                    <th scope="col">Treatment</th>
                    <th scope="col">brings</th>
                    <th scope="col">costs</th>
                    <th scope="col">margin, {money(1).unit}</th>
                    <th scope="col">break-even, {yieldOf(1, bushel_kg, units).unit}</th>
                  </tr>
                </thead>
                <tbody>
                  {treatments.map(({ treatment, margin }) => (
                    <tr key={treatment}>
                      <th scope="row" className="wraps">
                        <TreatmentMark of={places.indexOf(treatment)} /> {treatment}
                      </th>
                      <td className="number">{money(margin.revenue_per_ha).number}</td>
                      <td className="number">
                        {money(margin.costs_per_ha + margin.drying_per_ha + margin.hauling_per_ha).number}
                      </td>
                      <td className="number">
                        <b>{money(margin.margin_per_ha).number}</b>
                      </td>
                      <td className="number">{yieldOf(margin.break_even_t_ha, bushel_kg, units).number}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </section>
          </section>
        );
      })}
      <PriceForm key={field.crop} {...context} />
      <CostForm {...context} />
    </Panel>
  );
}

interface PartsProps {
  readonly margin: Margin;
  readonly money: (per_ha: number) => Quantity;
}

/** From what is paid to what is left. */
function MarginParts({ margin, money }: PartsProps) {
  const less = (per_ha: number) => money(-per_ha);
  return (
    <Pairs
      of={[
        ['Grain brings', money(margin.revenue_per_ha)],
        [
          `${capitalised(margin.shrink.label)}, of the wet grain`,
          { number: decimal(margin.shrink.pct, 2), unit: '%' },
        ],
        ['Drying', less(margin.drying_per_ha)],
        ['Hauling', less(margin.hauling_per_ha)],
        ...margin.costs.map(({ name, per_ha }) => [capitalised(name), less(per_ha)] as const),
        ['Left', money(margin.margin_per_ha)],
      ]}
    />
  );
}

function moneyOf(per_ha: number, currency: string, units: UnitSystem): Quantity {
  return {
    number: decimal(perShownArea(per_ha, units), 0),
    unit: `${currency}/${units === 'us' ? 'ac' : 'ha'}`,
  };
}

function breakEvenWords({ break_even_t_ha }: Margin, units: UnitSystem, bushel_kg: number): string {
  if (break_even_t_ha === null) return '';
  const { number, unit } = yieldOf(break_even_t_ha, bushel_kg, units);
  return `; it breaks even at ${number} ${unit}`;
}
