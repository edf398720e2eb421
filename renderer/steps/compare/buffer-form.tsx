/** How near to a strip's edges points still count, and the difference that would matter. */

import type { ComparisonSheet } from '../../../core/analysis/comparison/comparison-sheet.ts';
import { END_BUFFER_M } from '../../../core/analysis/comparison/strip-points.ts';
import { ftFromM } from '../../../core/units.ts';
import { comparisonsOf } from '../../session/comparisons.ts';
import { width } from '../../text/quantities.ts';
import { NumberEntry, type StepContext } from '../panel.tsx';
import { shownYield } from './compare-words.ts';

interface BufferFormProps extends StepContext {
  readonly sheet: ComparisonSheet;
}

/** Longest buffer that can be meant, m; the sheet's own limit. */
const MOST_M = 500;

export function BufferForm({ sheet, session, units, bushel_kg }: BufferFormProps) {
  const comparisons = comparisonsOf(session);
  const { unit } = width(1, units);
  const per_m = units === 'us' ? ftFromM(1) : 1;
  const { shown, unit: yield_unit } = shownYield(units, bushel_kg);
  const set = (key: 'end_buffer_m' | 'side_buffer_m' | 'worthwhile_t_ha', number: number | null) => {
    const { [key]: _, ...rest } = sheet;
    void comparisons.change(number === null ? rest : { ...rest, [key]: number });
  };
  const setBuffer = (key: 'end_buffer_m' | 'side_buffer_m', typed: number | null) =>
    set(key, typed === null ? null : Math.min(Math.max(rounded(typed / per_m), 0), MOST_M));
  const inUnits = (length_m: number | undefined) => (length_m === undefined ? undefined : length_m * per_m);
  return (
    <section>
      <h3>Edges</h3>
      <div className="measure">
        <NumberEntry
          label="Left out at the ends"
          unit={unit}
          entered={inUnits(sheet.end_buffer_m)}
          fallback={END_BUFFER_M * per_m}
          onEnter={(typed) => setBuffer('end_buffer_m', typed)}
        />
        <p className="hint-line">
          {width(END_BUFFER_M, units).number} {unit} by default: threshing mixes the grain of some seconds, so
          that near where a pass enters a strip it is of both sides.
        </p>
      </div>
      <div className="measure">
        <NumberEntry
          label="Left out at the sides"
          unit={unit}
          entered={inUnits(sheet.side_buffer_m)}
          fallback={0}
          onEnter={(typed) => setBuffer('side_buffer_m', typed)}
        />
        <p className="hint-line">None by default: cuts that reach over a side are left out anyway.</p>
      </div>
      <div className="measure">
        <NumberEntry
          label="A difference that would matter"
          unit={yield_unit}
          entered={sheet.worthwhile_t_ha === undefined ? undefined : shown(sheet.worthwhile_t_ha)}
          fallback={null}
          onEnter={(typed) => {
            if (typed === null) set('worthwhile_t_ha', null);
            else if (typed > 0) set('worthwhile_t_ha', rounded(typed / shown(1)));
          }}
        />
        <p className="hint-line">2, 5 and 10 % of the mean when empty: how many replicates would show it.</p>
      </div>
    </section>
  );
}

function rounded(number: number): number {
  return Number(number.toPrecision(6));
}
