/** Where the timeline is: the field on the map over time, its loads as bands. */
import { useMemo, useSyncExternalStore } from 'react';
import type { ResultReply } from '../../core/host-contract.ts';
import type { FieldPoints } from '../../core/result.ts';
import { machineName } from '../session/season-figures.ts';
import { useHoverRow, useSession } from '../session/use-session.ts';
import { useStepContext } from '../steps/panel.tsx';
import { Timeline } from '../timeline/timeline.tsx';
import type { LoadBand, TrackName } from '../timeline/types.ts';

/** On a low screen fewer tracks, each high enough to be read. */
const LOW_SCREEN = matchMedia('(max-height: 780px)');
const FEW_TRACKS: readonly TrackName[] = ['mass_flow', 'yield', 'speed'];

function useIsLow(): boolean {
  return useSyncExternalStore(
    (listener) => {
      LOW_SCREEN.addEventListener('change', listener);
      return () => LOW_SCREEN.removeEventListener('change', listener);
    },
    () => LOW_SCREEN.matches,
  );
}

export function TimelinePlace() {
  const session = useSession();
  const context = useStepContext();
  const hoverRow = useHoverRow();
  const isLow = useIsLow();
  const points = context?.points;
  const reply = context?.reply;
  const columns = useMemo(() => (points === undefined ? [] : [points]), [points]);
  const loads = useMemo(
    () => (points === undefined || reply === undefined ? [] : bandsOf(points, reply)),
    [points, reply],
  );
  if (context === null || points === undefined) return <div />;
  const { season, units, bushel_kg, state } = context;
  return (
    <div className="timeline-place">
      <Timeline
        columns={columns}
        loads={loads}
        tracks={isLow ? FEW_TRACKS : undefined}
        theme={state.view.theme}
        units={units}
        bushel_kg={bushel_kg}
        epoch_utc_s={context.reply.epoch_utc_s}
        machines={context.reply.machines.map((id) => machineName(season, id))}
        span={state.view.span}
        onSpan={(span) => session.look({ span })}
        selection={state.view.selection}
        hover_s={hoverRow === null ? null : points.t_s[hoverRow]}
        onHover={(hover) => session.hover(hover === null ? null : hover.row)}
      />
    </div>
  );
}

/** Loads whose grain came from this field. */
function bandsOf(points: FieldPoints, { loads, summary }: ResultReply): readonly LoadBand[] {
  const present = new Set(points.load);
  const flagged = new Set(
    summary.calibrations.flatMap((fit) =>
      fit.loads.filter((load) => load.flagged).map((load) => load.ticket),
    ),
  );
  return loads.flatMap((span, load) =>
    present.has(load)
      ? [{ load, ...span, state: flagged.has(span.ticket) ? ('look' as const) : ('good' as const) }]
      : [],
  );
}
