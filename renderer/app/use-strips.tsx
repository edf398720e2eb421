/** Strips over the map while they are compared or drawn. */
import type { DrawnOver } from '../map/drawn-over.ts';
import { StripEditor } from '../map/strip-editor.tsx';
import { StripsOnMap } from '../map/strips-on-map.tsx';
import { comparisonsOf, useComparisons } from '../session/comparisons.ts';
import { fieldIndexOf, unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';

/** Undefined where the map shows something else. */
export function useStrips(): DrawnOver | undefined {
  const session = useSession();
  const state = useSessionState();
  const { page, draft, shown } = useComparisons();
  const { season, built, view } = state;
  const field = built?.reply.points[fieldIndexOf(state)]?.field;
  if (season === null || field === undefined || view.stage !== 'yield' || page !== 'strips') return undefined;
  const comparisons = comparisonsOf(session);
  if (draft?.field === field)
    return {
      isDrawing: true,
      draw: (map) => (
        <StripEditor
          view={map}
          draft={draft}
          units={unitsOf(state)}
          onStep={(step) => comparisons.step(step)}
          onLeave={() => comparisons.leaveDraft()}
        />
      ),
    };
  const own = (season.document.comparisons ?? []).filter((one) => one.field === field);
  const strips = (own.find(({ name }) => name === shown) ?? own[0])?.strips;
  if (strips === undefined) return undefined;
  const onMap = strips.map(({ treatment, replicate = '', rings }) => ({ treatment, replicate, rings }));
  return { isDrawing: false, draw: (map) => <StripsOnMap view={map} strips={onMap} /> };
}
