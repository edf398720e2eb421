/** Costs of the ground: seed, fertiliser, a pass of the sprayer; of all grain, a crop, a field, or one treatment. */
import { useState } from 'react';
import type { CostSheet } from '../../../core/analysis/margin/margin-sheet.ts';
import { treatmentsIn } from '../../charts/treatment-mark.tsx';
import { useComparisons } from '../../session/comparisons.ts';
import type { StepContext } from '../panel.tsx';
import { MoneyEntry } from './money-entry.tsx';
import { costPerArea, isSameCrop } from './price-sheets.ts';

type Whose = Pick<CostSheet, 'crop' | 'field' | 'treatment'>;

export function CostForm({ session, season, field, units }: StepContext) {
  const { reply } = useComparisons();
  const costs = season.settings?.margin?.costs ?? [];
  const currency = season.settings?.margin?.currency ?? '';
  const keep = (changed: readonly CostSheet[]) =>
    void session.edit({ kind: 'set_margin', change: { costs: changed } });
  const strips = reply?.comparisons.flatMap((one) => one.strips) ?? [];
  const own = [...new Set([...treatmentsIn(strips), ...costs.flatMap(({ treatment }) => treatment ?? [])])];
  const choices: readonly (readonly [string, Whose])[] = [
    ['all grain', {}],
    ...[...new Set(season.fields.map(({ crop }) => crop))].map((crop) => [crop, { crop }] as const),
    ...season.fields.map(({ name }) => [`field ${name}`, { field: name }] as const),
    ...own.map((treatment) => [`where ${treatment}`, { treatment }] as const),
  ];
  const area = units === 'us' ? 'ac' : 'ha';
  return (
    <section>
      <h3>Costs of the ground</h3>
      {costs.length === 0 && <p className="quiet">None yet.</p>}
      {costs.map((cost, k) => {
        const { amount, unit } = costPerArea(cost);
        const fits =
          (cost.crop === undefined || isSameCrop(season, cost.crop, field.crop)) &&
          (cost.field === undefined || cost.field === field.name);
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: costs are known by their place in the sheet
          <div key={k} className={fits ? 'cost' : 'cost aside'}>
            <div className="money">
              <MoneyEntry
                label={cost.name}
                unit={`${currency}/${unit}`}
                entered={amount}
                onEnter={(typed) =>
                  keep(
                    costs.with(k, {
                      ...whoseOf(cost),
                      name: cost.name,
                      ...(unit === 'ac' ? { per_ac: typed ?? 0 } : { per_ha: typed ?? 0 }),
                    }),
                  )
                }
              />
            </div>
            <div className="row">
              <span className="quiet">
                {whoseWords(cost)}
                {fits ? '' : ', not in this field'}
              </span>
              <button
                type="button"
                className="plain"
                aria-label={`Remove ${cost.name}, ${whoseWords(cost)}`}
                onClick={() => keep(costs.filter((_, other) => other !== k))}
              >
                Remove
              </button>
            </div>
          </div>
        );
      })}
      <NewCost
        choices={choices}
        unit={`${currency}/${area}`}
        onAdd={(name, amount, whose) =>
          keep([...costs, { name, ...(area === 'ac' ? { per_ac: amount } : { per_ha: amount }), ...whose }])
        }
      />
    </section>
  );
}

function whoseOf({ crop, field, treatment }: CostSheet): Whose {
  return {
    ...(crop === undefined ? {} : { crop }),
    ...(field === undefined ? {} : { field }),
    ...(treatment === undefined ? {} : { treatment }),
  };
}

function whoseWords({ crop, field, treatment }: CostSheet): string {
  const parts = [
    crop,
    field === undefined ? undefined : `field ${field}`,
    treatment === undefined ? undefined : `where ${treatment}`,
  ].filter((part) => part !== undefined);
  return parts.length === 0 ? 'all grain' : parts.join(', ');
}

interface NewCostProps {
  readonly choices: readonly (readonly [string, Whose])[];
  readonly unit: string;
  readonly onAdd: (name: string, amount: number, whose: Whose) => void;
}

function NewCost({ choices, unit, onAdd }: NewCostProps) {
  const [name, setName] = useState('');
  const [amount, setAmount] = useState('');
  const [whose, setWhose] = useState(0);
  const isWhole = name.trim() !== '' && amount.trim() !== '' && Number(amount) >= 0;
  return (
    <form
      className="new-cost"
      onSubmit={(event) => {
        event.preventDefault();
        if (!isWhole) return;
        onAdd(name.trim(), Number(amount), choices[whose]?.[1] ?? {});
        setName('');
        setAmount('');
      }}
    >
      <input
        type="text"
        aria-label="New cost"
        placeholder="New cost"
        value={name}
        onChange={({ target }) => setName(target.value)}
      />
      <input
        type="number"
        step="any"
        min={0}
        aria-label={`Amount, ${unit}`}
        value={amount}
        onChange={({ target }) => setAmount(target.value)}
      />
      <span className="unit">{unit}</span>
      <label>
        for{' '}
        <select value={whose} onChange={({ target }) => setWhose(Number(target.value))}>
          {choices.map(([words], k) => (
            <option key={words} value={k}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <button type="submit" className="framed" disabled={!isWhole}>
        Add
      </button>
    </form>
  );
}
