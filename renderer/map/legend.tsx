/** The legend: what the colours mean, how the ground spreads over them, how classes were made, what the marks stand for. */
import { RULE_WORDS } from '../../core/export/report/rule-marks.ts';
import { SCREENING_RULES } from '../../core/result.ts';
import { decimal } from '../text/quantities.ts';
import { CLASS_COUNT } from './breaks.ts';
import { LegendControls } from './legend-controls.tsx';
import { LegendHistogram } from './legend-histogram.tsx';
import { RuleMark } from './rule-mark.tsx';
import { FADE } from './swath-buffers.ts';
import type { ClassMethod, MapLook } from './types.ts';
import type { Painted } from './use-paint.ts';

export interface LegendProps {
  readonly painted: Painted;
  readonly look: MapLook & { readonly cell_m?: number };
  readonly fades: boolean;
  readonly kept: number;
  /** Rows by `screened_by`. */
  readonly caught: readonly number[];
  readonly shown_rules: readonly string[];
  /** Takes the marks of a reason off the map, or shows them again. */
  readonly onToggleRule: (rule: string) => void;
  readonly onLookChange?: (look: MapLook) => void;
  readonly onLimits?: (limits_si: readonly number[]) => void;
}

const METHOD_WORDS: Readonly<Record<ClassMethod, string>> = {
  continuous: 'continuous colours over the middle 96 %',
  round: 'equal steps with round limits',
  equal: 'equal steps over the middle 96 %',
  quantile: 'as many points in each class (quantiles, type 7)',
  standard_deviation: 'one standard deviation a class, about the mean',
  natural: 'natural breaks (least squares within classes)',
  given: 'limits as given',
};

export function Legend({ painted, look, fades, kept, caught, ...rest }: LegendProps) {
  const { shown_rules, onToggleRule, onLookChange, onLimits } = rest;
  const { shown, scale, is_difference } = painted;
  const isGiven = scale.method === 'given';
  const classes = scale.limits.length + 1;
  const method = `${scale.method === 'continuous' ? '' : `${classes} classes, `}${(isGiven ? look.classes.words : undefined) ?? METHOD_WORDS[scale.method]}`;
  const total = kept + caught.reduce((sum, rows) => sum + rows, 0);
  return (
    <details className="map-legend" open>
      <summary>
        {is_difference ? `Change of ${shown.name.toLowerCase()}` : shown.name}{' '}
        <span className="unit">{shown.unit}</span>
      </summary>
      <LegendHistogram painted={painted} onLimits={isGiven ? onLimits : undefined} />
      <p className="quiet">
        {is_difference ? 'After − before, about zero; ' : ''}
        {method}. Height: ground{look.cell_m === undefined ? ' cut' : ''}.
      </p>
      <details className="legend-more" ref={openWhereRoom}>
        <summary>
          {look.cell_m === undefined
            ? `${decimal(kept, 0)} of ${decimal(total, 0)} points kept`
            : `${decimal(total, 0)} cells`}
        </summary>
        {fades && <p className="quiet">Paler: less sure than ±{decimal(100 * FADE.from, 0)}&nbsp;%.</p>}
        <Marks caught={caught} shown_rules={shown_rules} onToggle={onToggleRule} />
        {onLookChange && <LegendControls look={look} counts={CLASS_COUNT} onLookChange={onLookChange} />}
      </details>
    </details>
  );
}

/** Height of the map from which the whole legend is shown at first, px. */
const ROOMY_PX = 420;

/** Folded at first where the map is low: then the ground matters more. */
function openWhereRoom(details: HTMLDetailsElement | null): void {
  if (!details || details.dataset.asked === 'yes') return;
  details.dataset.asked = 'yes';
  details.open = (details.closest('.field-map')?.clientHeight ?? 0) >= ROOMY_PX;
}

interface MarksProps extends Pick<LegendProps, 'caught' | 'shown_rules'> {
  readonly onToggle: (rule: string) => void;
}

/** Marks of screened points by reason: each a switch for its marks on the map. */
function Marks({ caught, shown_rules, onToggle }: MarksProps) {
  const rules = SCREENING_RULES.map((rule, i) => ({ rule, rows: caught[i + 1] ?? 0 })).filter(
    ({ rule, rows }) => rows > 0 && rule !== 'not_cutting',
  );
  if (rules.length === 0) return null;
  return (
    <ul className="map-marks">
      {rules.map(({ rule, rows }) => (
        <li key={rule}>
          <button
            type="button"
            aria-pressed={shown_rules.includes(rule)}
            title={
              shown_rules.includes(rule) ? 'Take these marks off the map' : 'Show these marks on the map'
            }
            onClick={() => onToggle(rule)}
          >
            <RuleMark rule={rule} /> {RULE_WORDS[rule]} <span className="quiet">{decimal(rows, 0)}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
