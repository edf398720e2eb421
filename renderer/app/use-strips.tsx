/** Strips over the map while they are compared or drawn. */
import { useEffect, useState } from 'react';
import type { ComparisonSheet } from '../../core/analysis/comparison/comparison-sheet.ts';
import { readTreatments } from '../../core/analysis/comparison/treatment-file.ts';
import type { DrawnOver } from '../map/drawn-over.ts';
import { StripEditor } from '../map/strip-editor.tsx';
import { type StripOnMap, StripsOnMap } from '../map/strips-on-map.tsx';
import { comparisonsOf, useComparisons } from '../session/comparisons.ts';
import { fieldIndexOf, unitsOf } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';

const NO_STRIPS: readonly StripOnMap[] = [];

/** Undefined where the map shows something else. */
export function useStrips(): DrawnOver | undefined {
  const session = useSession();
  const state = useSessionState();
  const { page, draft, shown } = useComparisons();
  const { season, built, view } = state;
  const field = built?.reply.points[fieldIndexOf(state)]?.field;
  const isShown = view.stage === 'yield' && page === 'strips';
  const own = (season?.document.comparisons ?? []).filter((one) => one.field === field);
  const sheet = isShown ? (own.find(({ name }) => name === shown) ?? own[0]) : undefined;
  const ofFile = useFileStrips(sheet?.file);
  if (!isShown || field === undefined) return undefined;
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
  const strips = sheet?.strips?.map(({ replicate = '', ...strip }) => ({ ...strip, replicate })) ?? ofFile;
  if (strips.length === 0) return undefined;
  return { isDrawing: false, draw: (map) => <StripsOnMap view={map} strips={strips} /> };
}

/** Polygons of a file of treatments; none until it has come, or where it cannot be read, which the panel tells. */
function useFileStrips(file: ComparisonSheet['file']): readonly StripOnMap[] {
  const session = useSession();
  const season = useSessionState().season?.season;
  const [strips, setStrips] = useState(NO_STRIPS);
  const asked = file === undefined ? null : JSON.stringify(file);
  useEffect(() => {
    let isWanted = true;
    setStrips(NO_STRIPS);
    if (asked === null || season === undefined) return;
    const wanted: NonNullable<ComparisonSheet['file']> = JSON.parse(asked);
    session.host.readText(season, wanted.path).then(
      (text) => isWanted && setStrips(stripsOfFile(text, wanted)),
      () => undefined,
    );
    return () => {
      isWanted = false;
    };
  }, [session, season, asked]);
  return strips;
}

function stripsOfFile(text: string, file: NonNullable<ComparisonSheet['file']>): readonly StripOnMap[] {
  const read = readTreatments(text, file);
  if (!read.ok) return NO_STRIPS;
  return read.value.map(({ treatment, replicate = '', rings }) => ({
    treatment,
    replicate,
    rings: rings.map((ring) =>
      // closed rings: the first corner stands again at the end
      Array.from({ length: ring.length / 2 - 1 }, (_, k) => [ring[2 * k], ring[2 * k + 1]] as const),
    ),
  }));
}
