/** What a fit found, how sure that is, and whether estimators that wrong loads pull less say the same. */
import { decimal, withSign } from '../../text/quantities.ts';
import { capitalised } from '../../text/words.ts';
import { Pairs } from '../panel.tsx';
import type { FitContext } from './fit-section.tsx';

const COEFFICIENT_WORDS: Readonly<Record<string, string>> = {
  k: 'Gain, scale over beam',
  zero_kg_s: 'Zero error, kg/s',
  curvature: 'Bend, empty to full pitch',
  moisture: 'Change, dry to all water',
  test_weight: 'Change with test weight',
};

export function FitWorth({ fit }: Pick<FitContext, 'fit'>) {
  const { diagnostics } = fit;
  return (
    <>
      <Pairs
        of={[
          ['Error of the fit', { number: decimal(fit.fit_rmse_pct, 2), unit: '%' }],
          ['Error, each load left out', { number: decimal(fit.loo_rmse_pct, 2), unit: '%' }],
          ['A new load, 95 %', { number: `± ${decimal(diagnostics?.prediction_95_pct, 1)}`, unit: '%' }],
          ['r²', { number: decimal(fit.r2, 5), unit: '' }],
          ...Object.entries(fit.coefficients).map(
            ([name, held]) =>
              [
                COEFFICIENT_WORDS[name] ?? capitalised(name.replaceAll('_', ' ')),
                { number: coefficientText(held, diagnostics?.confidence_95[name]), unit: '' },
              ] as const,
          ),
          ['Degrees of freedom', { number: decimal(diagnostics?.degrees_of_freedom, 0), unit: '' }],
        ]}
      />
      <p className="estimate">Figures in brackets: 95 % intervals. {crossChecks(fit)}</p>
      {diagnostics?.dimensionless && (
        <p className="estimate">
          Every load has a test weight, so that the gain belongs to the machine and not to the crop.
        </p>
      )}
    </>
  );
}

function coefficientText(held: number, interval: readonly [number, number] | undefined): string {
  if (interval === undefined) return decimal(held, 3);
  return `${decimal(held, 3)} (${decimal(interval[0], 3)} to ${decimal(interval[1], 3)})`;
}

/** Estimates of a plain gain, told beside their own middle: they do not know of a second coefficient. */
function crossChecks({ diagnostics }: FitContext['fit']): string {
  const huber = diagnostics?.huber_k ?? null;
  const middle = diagnostics?.median_ratio ?? null;
  const slope = diagnostics?.theil_sen_k ?? null;
  if (huber === null || middle === null) return '';
  const apart = withSign(100 * (huber / middle - 1), 2);
  const theilSen = slope === null ? '' : `; Theil–Sen slope ${decimal(slope, 3)}`;
  return `A plain gain by estimators that a wrong load pulls less: Huber ${decimal(huber, 3)}, middle of the ratios ${decimal(middle, 3)} (${apart} % apart)${theilSen}.`;
}
