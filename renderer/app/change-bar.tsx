/** What the last change did to the totals, with the way back beside it and the map before and after. */
import { useComparisons } from '../session/comparisons.ts';
import { differenceWords } from '../session/difference.ts';
import { fieldIndexOf, unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { useReportPreview } from './report-preview.tsx';

export function ChangeBar() {
  const session = useSession();
  const state = useSessionState();
  const { before, built, season, view, preview } = state;
  const { page } = useComparisons();
  const report = useReportPreview();
  if (before === null || built === null || season === null) return null;
  const words = differenceWords(before.summary, built.reply.summary, season.document, unitsOf(state));
  // The surface's cells are compared while they are tried; strips and prices change no map, and a report stands in its place.
  const isAside = report !== null || view.stage === 'surface' || (view.stage === 'yield' && page !== 'field');
  const hasMaps = !isAside && before.points.has(fieldIndexOf(state));
  const show = (compare: typeof view.compare) =>
    session.look({ compare: view.compare === compare ? 'off' : compare });
  return (
    <div className="bar" role="status">
      <span>
        {preview !== null && <span className="quiet">Tried, not kept: </span>}
        <b>{before.change}:</b> {words}
      </span>
      {hasMaps && (
        <>
          <button
            type="button"
            aria-pressed={view.compare === 'difference'}
            onClick={() => show('difference')}
          >
            Difference
          </button>
          <button type="button" aria-pressed={view.compare === 'split'} onClick={() => show('split')}>
            Before | after
          </button>
        </>
      )}
      {preview === null ? (
        <>
          {season.history.at > 0 && (
            <button type="button" onClick={() => void session.undo()}>
              Undo
            </button>
          )}
          <button type="button" onClick={() => session.forgetBefore()}>
            Done
          </button>
        </>
      ) : (
        <>
          <button type="button" onClick={() => void session.keepPreview()}>
            Keep
          </button>
          <button type="button" onClick={() => session.leavePreview()}>
            Leave as it was
          </button>
        </>
      )}
    </div>
  );
}
