/** Loads: the beam's weights against the scale's; the wrong ticket, why it is taken for wrong, and what to do with it. */
import type { CalibrationSummary } from '../../../core/result.ts';
import { decimal } from '../../text/quantities.ts';
import { Panel, type StepContext } from '../panel.tsx';
import { Agreements } from './agreements.tsx';
import { FitSection } from './fit-section.tsx';
import { GroupChoice } from './group-choice.tsx';
import { LoadReport } from './load-report.tsx';
import { ModelChoice } from './model-choice.tsx';
import { Proposals } from './proposals.tsx';

export function LoadsPanel(context: StepContext) {
  const { summary, field } = context;
  const fits = inOrder(summary.calibrations, field.crop);
  return (
    <Panel
      title="Loads"
      finding={findingOf(fits)}
      meaning={
        <>
          <p>
            The gain is fitted to the loads in use. “Left out” is how far a load is missed by a fit that has
            not seen it: the honest measure of how well the next load would be known.
          </p>
          <p>
            A ticket that does not fit is set aside until you decide; it stays in this list. The fit is only
            as good as the scale and the moisture meter behind it. Totals are estimates, not legal for trade.
          </p>
        </>
      }
    >
      <Proposals {...context} />
      {fits.map((fit) => (
        <FitSection key={`${fit.machine} ${fit.crop} ${fit.group ?? ''}`} fit={fit} {...context} />
      ))}
      <ModelChoice fits={fits} {...context} />
      <GroupChoice {...context} />
      <Agreements {...context} />
      <LoadReport {...context} />
    </Panel>
  );
}

/** What is wrong comes first, then the crop of the field on the map. */
function inOrder(fits: readonly CalibrationSummary[], crop: string): readonly CalibrationSummary[] {
  const rank = (fit: CalibrationSummary) =>
    fit.loads.some((load) => load.flagged) ? 0 : fit.crop === crop ? 1 : 2;
  return [...fits].sort((a, b) => rank(a) - rank(b));
}

function findingOf(fits: readonly CalibrationSummary[]): string {
  const loads = fits.flatMap((fit) => fit.loads);
  if (loads.length === 0)
    return 'No scale tickets: the map shows the pattern, not the weight. Weigh a few loads, and drop their tickets here.';
  const flagged = loads.filter((load) => load.flagged);
  const used = loads.filter((load) => load.used).length;
  const error = Math.max(...fits.map((fit) => fit.loo_rmse_pct ?? 0));
  const fate =
    flagged.length === 0
      ? 'none looks wrong'
      : `${flagged.map((load) => `ticket ${load.ticket}`).join(', ')} does not fit`;
  return `${used} of ${loads.length} loads are in the fit; ${fate}. An unseen load is predicted to ${decimal(error, 1)} %.`;
}
