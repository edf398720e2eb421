/** Settling fields at a total that a certified scale gave: the pattern stays, both numbers are kept. */
import { type FormEvent, useState } from 'react';
import type { Reconciliation } from '../../../core/calibration-result.ts';
import type { SettlementSheet } from '../../../core/calibration-sheet.ts';
import { kgFromTonnes, lbFromKg } from '../../../core/units.ts';
import { settlementEdit, settlementOf, settlementRemoval } from '../../session/calibration-edits.ts';
import { fieldsByCrop } from '../../session/season-figures.ts';
import { grainMass, withSign } from '../../text/quantities.ts';
import { Pairs, type StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function SettleForm(context: StepContext) {
  const { field, summary, season, session, units, bushel_kg } = context;
  const held = settlementOf(season, field.name);
  const { unit } = grainMass(0, bushel_kg, units);
  const kg_per_unit = kgPer(unit, bushel_kg);
  const [total, setTotal] = useState(held === undefined ? '' : (held.settlement_kg / kg_per_unit).toFixed(2));
  const [moisture, setMoisture] = useState<NonNullable<SettlementSheet['moisture']>>(
    held?.moisture ?? 'standard',
  );
  const [others, setOthers] = useState<readonly string[]>(
    held?.fields.filter((one) => one !== field.name) ?? [],
  );
  const siblings = (fieldsByCrop(summary.fields).get(field.crop) ?? []).filter(
    ({ name }) => name !== field.name,
  );
  const settlement_kg = Number(total) * kg_per_unit;
  const isWhole = settlement_kg >= 1;
  const give = (event: FormEvent) => {
    event.preventDefault();
    if (!isWhole) return;
    const fields = [field.name, ...others];
    void session.try(settlementEdit(season, { fields, settlement_kg, moisture }));
  };
  return (
    <section>
      <h3>Settle to a total</h3>
      {field.reconciled !== undefined && <Moved found={field.reconciled} {...context} />}
      <form className="form-grid entries" onSubmit={give}>
        <label htmlFor="settled">Total on certified tickets, {unit}</label>
        <input
          id="settled"
          type="number"
          step="any"
          min={0}
          value={total}
          onChange={({ target }) => setTotal(target.value)}
        />
        <label htmlFor="settled-at">Weighed</label>
        <select
          id="settled-at"
          value={moisture}
          onChange={({ target }) => setMoisture(target.value === 'standard' ? 'standard' : 'as_harvested')}
        >
          <option value="standard">at standard moisture</option>
          <option value="as_harvested">as harvested</option>
        </select>
        {siblings.length > 0 && (
          <fieldset className="foot choice-list">
            <legend>Together with</legend>
            {siblings.map(({ name }) => (
              <label key={name} className="switch">
                <input
                  type="checkbox"
                  checked={others.includes(name)}
                  onChange={({ target }) =>
                    setOthers(target.checked ? [...others, name] : others.filter((one) => one !== name))
                  }
                />
                {name}
              </label>
            ))}
          </fieldset>
        )}
        <div className="foot">
          <button type="submit" className="framed" disabled={!isWhole}>
            Try it
          </button>
          {held !== undefined && (
            <button
              type="button"
              className="plain"
              onClick={() => void session.edit(settlementRemoval(season, field.name))}
            >
              Go back to the loads’ total
            </button>
          )}
        </div>
      </form>
      <PreviewNote
        isOf={(edit) => edit.kind === 'set_calibration' && edit.change.settlements !== undefined}
      />
    </section>
  );
}

/** Both numbers, and how far the total moved. */
function Moved({ found, field, units, bushel_kg }: StepContext & { readonly found: Reconciliation }) {
  return (
    <Pairs
      of={[
        ['By the loads', grainMass(found.mass_std_kg, bushel_kg, units)],
        ['Settled', grainMass(field.mass_std_kg, bushel_kg, units)],
        ['Moved by', { number: withSign(100 * (found.factor - 1), 2), unit: '%' }],
        ...(found.fields.length > 1
          ? ([
              ['Settled together', `${found.fields.join(', ')} at ${settledText(found, units, bushel_kg)}`],
            ] as const)
          : []),
      ]}
    />
  );
}

function settledText(
  { settlement_kg }: Reconciliation,
  units: StepContext['units'],
  bushel_kg: number,
): string {
  const { number, unit } = grainMass(settlement_kg, bushel_kg, units);
  return `${number} ${unit}`;
}

function kgPer(unit: string, bushel_kg: number): number {
  if (unit === 't') return kgFromTonnes(1);
  return unit === 'bu' ? bushel_kg : 1 / lbFromKg(1);
}
