/** Prices of the field's crop: what grain brings, what drying and hauling take, and how it shrinks. */
import type { PriceSheet, ShrinkSheet } from '../../../core/analysis/margin/margin-sheet.ts';
import { decimal } from '../../text/quantities.ts';
import type { StepContext } from '../panel.tsx';
import { MoneyEntry } from './money-entry.tsx';
import {
  basisOf,
  type PriceKind,
  priceKey,
  priceOfCrop,
  turnedPrice,
  with_,
  withPrice,
} from './price-sheets.ts';

const WORDS: readonly (readonly [PriceKind, string])[] = [
  ['price', 'Price'],
  ['drying_per_point', 'Drying, a point of moisture'],
  ['hauling', 'Hauling'],
];

export function PriceForm({ session, season, field, units, bushel_kg }: StepContext) {
  const { crop, standard_moisture_pct } = field;
  const price = priceOfCrop(season, crop);
  const basis = basisOf(price, units, bushel_kg);
  const held: PriceSheet = price ?? { crop };
  const currency = season.settings?.margin?.currency ?? '';
  const shrink: ShrinkSheet = held.shrink ?? { method: 'dry_matter' };
  const keep = (changed: PriceSheet | null) =>
    void session.edit({ kind: 'set_margin', change: { prices: withPrice(season, crop, changed) } });
  return (
    <section>
      <h3>Prices of {crop}</h3>
      <div className="money">
        <label htmlFor="margin-currency">Currency</label>
        <CurrencyEntry
          currency={currency}
          onEnter={(text) =>
            void session.edit({ kind: 'set_margin', change: { currency: text === '' ? null : text } })
          }
        />
        <span />
        {WORDS.map(([kind, words]) => (
          <MoneyEntry
            key={kind}
            label={words}
            unit={`${currency}/${basis}`}
            entered={held[priceKey(kind, basis)]}
            fallback={kind === 'price' ? undefined : '0'}
            isResting={kind !== 'price' && price === undefined}
            onEnter={(amount) =>
              // without a price the rest says nothing
              keep(kind === 'price' && amount === null ? null : with_(held, priceKey(kind, basis), amount))
            }
          />
        ))}
        <MoneyEntry
          label="Sold at a moisture of"
          unit="%"
          entered={held.sold_at_moisture_pct}
          fallback={String(standard_moisture_pct)}
          isResting={price === undefined}
          onEnter={(percent) => keep(with_(held, 'sold_at_moisture_pct', percent))}
        />
      </div>
      {bushel_kg > 0 && price !== undefined && (
        <p className="hint-line">
          By the {basis === 't' ? 'tonne' : 'bushel'} as it was typed.{' '}
          <button
            type="button"
            className="plain"
            onClick={() => keep(turnedPrice(held, basis === 't' ? 'bu' : 't', bushel_kg))}
          >
            Turn into prices by the {basis === 't' ? 'bushel' : 'tonne'}
          </button>
        </p>
      )}
      <fieldset className="choice-list spaced" disabled={price === undefined}>
        <legend>Shrink</legend>
        <label className="switch">
          <input
            type="radio"
            name="shrink"
            checked={shrink.method === 'dry_matter'}
            onChange={() => keep(with_(held, 'shrink', null))}
          />
          <span>
            Dry matter:{' '}
            <span className="quiet">the dry matter kept, water above the moisture sold at not paid</span>
          </span>
        </label>
        <label className="switch">
          <input
            type="radio"
            name="shrink"
            checked={shrink.method === 'policy'}
            onChange={() => keep({ ...held, shrink: { method: 'policy', per_point_pct: USUAL_POINT_PCT } })}
          />
          <span>
            Buyer’s policy:{' '}
            <span className="quiet">so many % of the wet mass a point; not the dry-matter formula</span>
          </span>
        </label>
        {shrink.method === 'policy' && (
          <div className="money">
            <MoneyEntry
              label="A point"
              unit="%"
              entered={shrink.per_point_pct}
              fallback="0"
              onEnter={(percent) => keep({ ...held, shrink: with_(shrink, 'per_point_pct', percent) })}
            />
            <MoneyEntry
              label="Handling"
              unit="%"
              entered={shrink.handling_pct}
              fallback="0"
              onEnter={(percent) => keep({ ...held, shrink: with_(shrink, 'handling_pct', percent) })}
            />
          </div>
        )}
        {price === undefined && (
          <p className="hint-line">
            Once there is a price. Sold at {decimal(standard_moisture_pct, 1)} % unless you say otherwise.
          </p>
        )}
      </fieldset>
    </section>
  );
}

/** A usual policy of elevators; common practice, no source. */
const USUAL_POINT_PCT = 1.4;

interface CurrencyProps {
  readonly currency: string;
  readonly onEnter: (text: string) => void;
}

function CurrencyEntry({ currency, onEnter }: CurrencyProps) {
  return (
    <input
      id="margin-currency"
      key={currency}
      type="text"
      defaultValue={currency}
      maxLength={8}
      placeholder="$"
      onBlur={({ target }) => target.value.trim() !== currency && onEnter(target.value.trim())}
      onKeyDown={({ key, currentTarget }) => {
        if (key === 'Enter') currentTarget.blur();
      }}
    />
  );
}
