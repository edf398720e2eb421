/** What the chain did to one row, in words and numbers: the readout under the pointer. */
import { RULE_WORDS } from '../../core/export/report/rule-marks.ts';
import { SCREENING_RULES } from '../../core/result.ts';
import { lbFromKg } from '../../core/units.ts';
import { decimal, type Quantity, withError, withSign } from '../text/quantities.ts';
import { columnOf, shownQuantity } from './quantities.ts';
import { RuleMark } from './rule-mark.tsx';
import type { FieldMapProps, MapQuantity } from './types.ts';
import type { Painted } from './use-paint.ts';

type Told = Pick<
  FieldMapProps,
  'columns' | 'cell_m' | 'units' | 'bushel_kg' | 'machines' | 'loads' | 'epoch_utc_s' | 'storyOf'
>;

export interface ReadoutProps extends Told {
  readonly row: number;
  readonly painted: Painted | null;
}

interface Line {
  readonly name: string;
  readonly quantity: Quantity;
}

/** A row's numbers, from what was counted to what is on the map. */
export function Readout({ row, painted, ...told }: ReadoutProps) {
  const { columns } = told;
  const screened_by = columns.screened_by[row];
  const rule = screened_by > 0 ? SCREENING_RULES[screened_by - 1] : undefined;
  const main = yieldLine(told, row);
  return (
    <>
      <p className="readout-head">
        {rule ? (
          <>
            <RuleMark rule={rule} /> Screened: {RULE_WORDS[rule]}
          </>
        ) : (
          <>
            <b>{main.number}</b> <span className="unit">{main.unit}</span>
          </>
        )}
      </p>
      {painted?.is_difference && (
        <p>
          {withSign(painted.numbers[row], painted.shown.digits)}{' '}
          <span className="unit">{painted.shown.unit}</span> against before
        </p>
      )}
      <p className="quiet">{placeWords(told, row)}</p>
      <dl>
        {linesOf(told, row, rule !== undefined).map(({ name, quantity }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              {quantity.number} <span className="unit">{quantity.unit}</span>
            </dd>
          </div>
        ))}
      </dl>
      {told.storyOf?.(row).map((sentence) => (
        <p key={sentence} className="quiet">
          {sentence}
        </p>
      ))}
    </>
  );
}

/** One line for a screen reader. */
export function spokenRow(told: Told, row: number): string {
  const rule = told.columns.screened_by[row];
  const main = yieldLine(told, row);
  const kept = rule > 0 ? `screened: ${RULE_WORDS[SCREENING_RULES[rule - 1]]}` : 'kept';
  return `${main.number} ${main.unit}, ${placeWords(told, row)}, ${kept}`;
}

export function yieldLine(told: Told, row: number): Quantity {
  return withError(amount(told, 'yield', row), amount(told, 'yield_se', row));
}

/** A quantity of a row as it is shown. */
export function amount(told: Told, quantity: MapQuantity, row: number): Quantity {
  const shown = shownQuantity(quantity, told.units, told.bushel_kg);
  return {
    number: decimal(columnOf(told.columns, quantity)[row] * shown.per_si, shown.digits),
    unit: shown.unit,
  };
}

/** Time of day in UTC, `14:03:21`; empty when the epoch is not known. */
export function clockOf(told: Told, row: number): string {
  if (told.epoch_utc_s === undefined || !Number.isFinite(told.columns.t_s[row])) return '';
  return new Date(1000 * (told.epoch_utc_s + told.columns.t_s[row])).toISOString().slice(11, 19);
}

function placeWords(told: Told, row: number): string {
  const { columns, cell_m, machines, loads, epoch_utc_s } = told;
  if (cell_m !== undefined) return `cell of ${decimal(cell_m, 1)} m`;
  const words = [];
  if (epoch_utc_s !== undefined && Number.isFinite(columns.t_s[row]))
    words.push(
      `${new Date(1000 * (epoch_utc_s + columns.t_s[row])).toISOString().slice(0, 10)} ${clockOf(told, row)} UTC`,
    );
  const machine = machines?.[columns.machine[row]];
  if (machine !== undefined) words.push(machine);
  words.push(columns.pass[row] >= 0 ? `pass ${columns.pass[row] + 1}` : 'not cutting');
  const load = loads?.[columns.load[row]];
  if (load) words.push(`ticket ${load.ticket}`);
  return words.join(' · ');
}

function linesOf(told: Told, row: number, isScreened: boolean): Line[] {
  const { columns, units } = told;
  if (told.cell_m !== undefined) return [{ name: 'Standard error', quantity: amount(told, 'yield_se', row) }];
  const width_se = {
    number: decimal(columns.width_se_m[row] * shownQuantity('cut_width', units).per_si, 2),
    unit: '',
  };
  return [
    ...(isScreened ? [{ name: 'Yield, not counted', quantity: yieldLine(told, row) }] : []),
    { name: 'Grain flow', quantity: amount(told, 'mass_flow', row) },
    { name: 'Volume flow', quantity: amount(told, 'volume_flow', row) },
    { name: 'Moisture', quantity: amount(told, 'moisture', row) },
    { name: 'Speed', quantity: amount(told, 'speed', row) },
    { name: 'Cut width', quantity: withError(amount(told, 'cut_width', row), width_se) },
    { name: 'Fresh ground', quantity: amount(told, 'fresh_area', row) },
    { name: 'Grain credited', quantity: creditedMass(columns.mass_kg[row], units) },
  ];
}

/** One row's grain is a few kilograms: a digit more than a scale prints. */
function creditedMass(mass_kg: number, units: FieldMapProps['units']): Quantity {
  return units === 'us'
    ? { number: decimal(lbFromKg(mass_kg), 2), unit: 'lb' }
    : { number: decimal(mass_kg, 2), unit: 'kg' };
}
