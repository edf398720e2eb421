/** Where the timeline is: the field on the map over time, its loads as bands. */
import { useMemo, useState, useSyncExternalStore } from 'react';
import type { ResultReply } from '../../core/host-contract.ts';
import type { FieldPoints } from '../../core/result.ts';
import type { TimeSpan } from '../map/types.ts';
import { ticketsOf } from '../session/load-tickets.ts';
import { machineName } from '../session/season-figures.ts';
import { useHoverRow, useSession } from '../session/use-session.ts';
import { useStepContext } from '../steps/panel.tsx';
import { Timeline } from '../timeline/timeline.tsx';
import type { EmptyLevels, LoadBand, TrackName } from '../timeline/types.ts';

/** On a low screen fewer tracks, each high enough to be read. */
const LOW_SCREEN = matchMedia('(max-height: 780px)');
const FEW_TRACKS: readonly TrackName[] = ['mass_flow', 'yield', 'speed'];
const TRACKS_WITH_EMPTY: readonly TrackName[] = [
  'mass_flow',
  'yield',
  'speed',
  'moisture',
  'cut_width',
  'empty_level',
];

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
  const empties = useMemo(
    () => (points === undefined || reply === undefined ? null : emptyLevelsOf(points, reply)),
    [points, reply],
  );
  const [moved, setMoved] = useMoves(reply);
  if (context === null || points === undefined) return <div />;
  const { season, units, bushel_kg, state } = context;
  // What is tried has other loads than what is kept.
  const isFree = state.preview === null;
  const selectLoad = (load: number) => {
    const { ticket } = context.reply.loads[load];
    const isOn = state.view.ticket === ticket;
    session.look({
      ticket: isOn ? null : ticket,
      selection: isOn ? null : loadMask(points, load),
      thread: null,
    });
  };
  const moveLoad = (load: number, span: TimeSpan) => {
    setMoved(new Map(moved).set(load, span));
    const moment = (t_s: number) =>
      new Date(1000 * Math.round(context.reply.epoch_utc_s + t_s)).toISOString();
    const tickets = ticketsOf(context.reply.loads[load].ticket);
    const times = { start_utc: moment(span.start_s), end_utc: moment(span.end_s) };
    void session.edit({ kind: 'set_load_span', tickets, span: times });
  };
  return (
    <div className="timeline-place">
      <Timeline
        columns={columns}
        loads={loads.map((band) => ({ ...band, ...moved.get(band.load) }))}
        onLoadSelect={selectLoad}
        onLoadSpanChange={isFree ? moveLoad : undefined}
        tracks={isLow ? FEW_TRACKS : empties === null ? undefined : TRACKS_WITH_EMPTY}
        empties={empties}
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

/** Points whose grain went into the load. */
function loadMask({ load }: FieldPoints, wanted: number): Uint8Array {
  return Uint8Array.from(load, (one) => Number(one === wanted));
}

/** Bands stay where they were put while the host works out what comes of it. */
function useMoves(reply: ResultReply | undefined) {
  const [moves, setMoves] = useState<{
    readonly of: ResultReply | undefined;
    readonly spans: ReadonlyMap<number, TimeSpan>;
  }>({ of: reply, spans: new Map() });
  const spans = moves.of === reply ? moves.spans : new Map<number, TimeSpan>();
  return [spans, (next: ReadonlyMap<number, TimeSpan>) => setMoves({ of: reply, spans: next })] as const;
}

/** Readings of the empty level by the machines of this field while it was cut, in order of time; null without any. */
function emptyLevelsOf(
  points: FieldPoints,
  { machines, summary, epoch_utc_s }: ResultReply,
): EmptyLevels | null {
  const here = new Set([...new Set(points.machine)].map((machine) => machines[machine]));
  const read = summary.signals
    .filter(({ machine }) => here.has(machine))
    .flatMap(({ empty_level }) =>
      empty_level.read_at_unix_s.map((unix_s, i) => [unix_s - epoch_utc_s, empty_level.read[i]] as const),
    )
    .filter(([t_s]) => t_s >= points.t_s[0] && t_s <= (points.t_s.at(-1) ?? Number.NaN))
    .sort(([a], [b]) => a - b);
  if (read.length === 0) return null;
  return {
    t_s: Float64Array.from(read, ([t_s]) => t_s),
    dark_fraction: Float64Array.from(read, ([, fraction]) => fraction),
  };
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
