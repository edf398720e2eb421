/** The timeline: what the machines did, hour by hour, linked with the map. */
import './timeline.css';
import {
  type KeyboardEvent,
  type PointerEvent,
  useCallback,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react';
import { useSize } from '../charts/use-size.ts';
import { type ShownQuantity, shownQuantity } from '../map/quantities.ts';
import { themeColours } from '../map/theme-colours.ts';
import type { TimeSpan } from '../map/types.ts';
import { decimal } from '../text/quantities.ts';
import { bandLanes } from './load-bands.ts';
import { LANE_PX, LoadLane } from './load-lane.tsx';
import { paintTimeline, type TimelineLayout } from './paint-timeline.ts';
import { axisTicks, clockText, dayOf, placeOfTime, type TimeAxis, timeAtPlace } from './time-axis.ts';
import { nearestInTime, selectedStretches, type Traces, type TrackTraces } from './traces.ts';
import type { TimelineProps, TrackName } from './types.ts';
import { useTraces } from './use-traces.ts';

const USUAL_TRACKS: readonly TrackName[] = ['mass_flow', 'yield', 'speed', 'moisture', 'cut_width'];
const LANES = { cutting: 10, axis: 20, gap: 5, least_track: 22 };
const TICK_PX = 74;
const ZOOM = { wheel: 0.0016, key: 1.6 };
/** Nothing is to be seen in less, s. */
const LEAST_VIEW_S = 10;
/** A shorter drag is a click, px. */
const CLICK_PX = 4;

export function Timeline(props: TimelineProps) {
  const { columns, loads, empties = null, units, bushel_kg, epoch_utc_s, span, hover_s } = props;
  const traces = useTraces(columns, props.tracks ?? USUAL_TRACKS, empties);
  const place = useRef<HTMLDivElement>(null);
  const { width, height } = useSize(place);
  const lanes = useMemo(() => bandLanes(loads), [loads]);
  const top = Math.max(lanes.reduce((a, b) => Math.max(a, b), 0) + 1, 1) * LANE_PX + 4;
  const layout = useMemo(
    () => layoutOf({ width, height, top, tracks: traces?.tracks.length ?? 0 }),
    [width, height, top, traces],
  );
  const [view, setView] = useView(traces?.axis);
  const [ownHover_s, setOwnHover] = useState<number | null>(null);
  const [drawn, setDrawn] = useState<{ from: number; to: number } | null>(null);
  const cursor_s = ownHover_s ?? hover_s ?? null;
  const scale = { axis: traces?.axis, view, width };
  const xOf = (t_s: number) => xOfTime(scale, t_s);
  const timeAt = (x: number) => timeOfX(scale, x);
  usePainting(place, traces, layout, view, props);

  const point = (t_s: number | null) => {
    setOwnHover(t_s);
    props.onHover?.(t_s === null || !traces ? null : nearestRow(traces, t_s));
  };
  const move = (event: PointerEvent<HTMLDivElement>) => {
    const x = event.clientX - event.currentTarget.getBoundingClientRect().left;
    if (drawn) setDrawn({ ...drawn, to: x });
    else point(timeAt(x));
  };
  const begin = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    const x = event.clientX - event.currentTarget.getBoundingClientRect().left;
    setDrawn({ from: x, to: x });
  };
  const end = () => {
    if (!drawn) return;
    const [left, right] = [Math.min(drawn.from, drawn.to), Math.max(drawn.from, drawn.to)];
    props.onSpan?.(right - left < CLICK_PX ? null : { start_s: timeAt(left), end_s: timeAt(right) });
    setDrawn(null);
  };
  const zoomAbout = (factor: number, x = width / 2) =>
    setView(zoomed(view, factor, x / Math.max(width, 1), traces));
  useWheel(place, (event) => {
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY) || event.shiftKey)
      setView(shifted(view, (event.deltaX || event.deltaY) / Math.max(width, 1), traces));
    else zoomAbout(Math.exp(event.deltaY * ZOOM.wheel), event.offsetX);
  });
  const press = (event: KeyboardEvent) => {
    const about = cursor_s === null ? width / 2 : xOf(cursor_s);
    if (event.key === '+' || event.key === '=') zoomAbout(1 / ZOOM.key, about);
    else if (event.key === '-') zoomAbout(ZOOM.key, about);
    else if (event.key === '0') setView(null);
    else if (event.key === 'Escape') props.onSpan?.(null);
    else if (event.key === 'ArrowLeft' || event.key === 'ArrowRight') {
      const from = cursor_s ?? timeAt(width / 2);
      const to = timeAt(xOf(from) + (event.key === 'ArrowRight' ? 1 : -1) * (event.altKey ? 20 : 2));
      if (event.shiftKey) props.onSpan?.(stretched(span, from, to));
      if (xOf(to) < 0 || xOf(to) > width)
        setView(shifted(view, event.key === 'ArrowRight' ? 0.3 : -0.3, traces));
      point(to);
    } else return;
    event.preventDefault();
  };
  const clockOf = (t_s: number) => `${dayOf(epoch_utc_s + t_s)} ${clockText(epoch_utc_s + t_s, 1)}`;
  const band =
    drawn && Math.abs(drawn.to - drawn.from) >= CLICK_PX
      ? drawn
      : span && { from: xOf(span.start_s), to: xOf(span.end_s) };
  return (
    <section className="timeline" aria-label="Timeline">
      <Gutter
        traces={traces}
        layout={layout}
        cursor_s={cursor_s}
        {...{ units, bushel_kg, machines: props.machines }}
      />
      <div className="timeline-zoom">
        <button type="button" aria-label="Nearer in time" onClick={() => zoomAbout(1 / ZOOM.key)}>
          +
        </button>
        <button type="button" aria-label="Further in time" onClick={() => zoomAbout(ZOOM.key)}>
          −
        </button>
        <button type="button" aria-label="All of the time" onClick={() => setView(null)}>
          All
        </button>
        {span && (
          <button
            type="button"
            aria-label="Zoom to the selected time"
            onClick={() => traces && setView(viewOfSpan(traces.axis, span))}
          >
            Span
          </button>
        )}
      </div>
      <div ref={place} className="timeline-ground">
        <div
          className="timeline-time"
          role="slider"
          tabIndex={0}
          aria-label="Time under the cursor. Arrow keys move it, Shift selects, plus and minus zoom, 0 shows all."
          aria-valuenow={Math.round(cursor_s ?? 0)}
          aria-valuetext={cursor_s === null ? 'none' : clockOf(cursor_s)}
          onPointerMove={move}
          onPointerDown={begin}
          onPointerUp={end}
          onPointerCancel={() => setDrawn(null)}
          onPointerLeave={() => point(null)}
          onKeyDown={press}
        >
          <canvas />
          {band && <div className="time-band" style={bandPlace(band, width)} />}
          {cursor_s !== null && (
            <div className="time-cursor" style={{ transform: `translateX(${xOf(cursor_s)}px)` }} />
          )}
          {cursor_s !== null && (
            <div
              className="time-clock"
              style={{ left: Math.min(Math.max(xOf(cursor_s) - 54, 0), width - 108) }}
            >
              {clockOf(cursor_s)}
            </div>
          )}
        </div>
        <LoadLane
          loads={loads}
          lanes={lanes}
          width={width}
          xOf={xOf}
          timeAt={timeAt}
          clockOf={clockOf}
          onChange={props.onLoadSpanChange}
          onSelect={props.onLoadSelect}
        />
      </div>
    </section>
  );
}

interface GutterProps extends Pick<TimelineProps, 'units' | 'bushel_kg' | 'machines'> {
  readonly traces: Traces | null;
  readonly layout: TimelineLayout;
  readonly cursor_s: number | null;
}

/** Names of the tracks, their scale, and what they are under the cursor. */
function Gutter({ traces, layout, cursor_s, units, bushel_kg, machines }: GutterProps) {
  const named = traces && traces.machines.length > 1 ? traces.machines : [];
  return (
    <div className="timeline-gutter">
      <div className="lane-name">Loads</div>
      <div className="lane-name cutting" style={{ top: layout.cutting.top - 3 }}>
        {named.length === 0
          ? 'Cutting'
          : named.map(({ machine }, place) => (
              <span key={machine} className={`machine-${place % 4}`}>
                {machines?.[machine] ?? machine + 1}
              </span>
            ))}
      </div>
      {traces?.tracks.map((track, i) => {
        const shown = shownTrack(track.track, units, bushel_kg);
        const strip = layout.tracks[i];
        return (
          <div key={track.track} className="track-name" style={{ top: strip.top, height: strip.height }}>
            <span>
              {shown.name} <span className="unit">{shown.unit}</span>
            </span>
            <span className="track-now">
              {cursor_s === null
                ? `to ${decimal(track.high * shown.per_si, track.high * shown.per_si < 10 ? 1 : 0)}`
                : decimal(numberAt(track, cursor_s) * shown.per_si, shown.digits)}
            </span>
          </div>
        );
      })}
    </div>
  );
}

/** Paints when something has changed, once a frame. */
function usePainting(
  place: React.RefObject<HTMLDivElement | null>,
  traces: Traces | null,
  layout: TimelineLayout,
  view: { u0: number; u1: number },
  { theme, epoch_utc_s, selection }: TimelineProps,
): void {
  const selected = useMemo(
    () => selectedStretches(traces?.machines ?? [], selection ?? null),
    [traces, selection],
  );
  // biome-ignore lint/correctness/useExhaustiveDependencies: colours come from the page, which the theme changes
  useEffect(() => {
    const canvas = place.current?.querySelector('canvas');
    const pen = canvas?.getContext('2d');
    if (!canvas || !pen || !traces || layout.width === 0) return;
    const frame = requestAnimationFrame(() => {
      const ratio = devicePixelRatio;
      const [wide, high] = [Math.round(layout.width * ratio), Math.round(layout.height * ratio)];
      if (canvas.width !== wide || canvas.height !== high)
        Object.assign(canvas, { width: wide, height: high });
      pen.setTransform(ratio, 0, 0, ratio, 0, 0);
      const least_u = ((view.u1 - view.u0) * TICK_PX) / layout.width;
      const ticks = axisTicks(traces.axis, epoch_utc_s, { ...view, least_u });
      paintTimeline(pen, { traces, layout, view, ticks, colours: themeColours(canvas), selected });
    });
    return () => cancelAnimationFrame(frame);
  }, [place, traces, layout, view, theme, epoch_utc_s, selected]);
}

type View = { readonly u0: number; readonly u1: number };

/** The part shown: all of the axis, until the user has chosen; `null` goes back to all. */
function useView(axis: TimeAxis | undefined): [View, (view: View | null) => void] {
  const [chosen, setChosen] = useState<View | null>(null);
  const length = axis?.length ?? 1;
  const whole = useMemo(() => ({ u0: 0, u1: length }), [length]);
  const view = chosen && chosen.u0 < length ? chosen : whole;
  return [view, setChosen];
}

/** React's own wheel listeners may not keep the page from scrolling. */
function useWheel(place: React.RefObject<HTMLElement | null>, onWheel: (event: WheelEvent) => void): void {
  const latest = useRef(onWheel);
  latest.current = onWheel;
  const listen = useCallback((event: WheelEvent) => {
    event.preventDefault();
    latest.current(event);
  }, []);
  useEffect(() => {
    const element = place.current;
    element?.addEventListener('wheel', listen, { passive: false });
    return () => element?.removeEventListener('wheel', listen);
  }, [place, listen]);
}

function layoutOf(given: { width: number; height: number; top: number; tracks: number }): TimelineLayout {
  const { width, height, top, tracks } = given;
  const first = top + LANES.cutting + LANES.gap;
  const room = height - first - LANES.axis - tracks * LANES.gap;
  const each = Math.max(Math.floor(room / Math.max(tracks, 1)), LANES.least_track);
  return {
    width,
    height,
    cutting: { top, height: LANES.cutting },
    tracks: Array.from({ length: tracks }, (_, i) => ({ top: first + i * (each + LANES.gap), height: each })),
    axis: { top: height - LANES.axis, height: LANES.axis },
  };
}

interface Scale {
  readonly axis: TimeAxis | undefined;
  readonly view: View;
  readonly width: number;
}

function xOfTime({ axis, view, width }: Scale, t_s: number): number {
  return axis ? ((placeOfTime(axis, t_s) - view.u0) / (view.u1 - view.u0)) * width : 0;
}

function timeOfX({ axis, view, width }: Scale, x: number): number {
  return axis ? timeAtPlace(axis, view.u0 + ((view.u1 - view.u0) * x) / Math.max(width, 1)) : 0;
}

function zoomed(view: View, factor: number, about: number, traces: Traces | null): View | null {
  const length = traces?.axis.length ?? 1;
  const span = Math.max((view.u1 - view.u0) * factor, LEAST_VIEW_S);
  if (span >= length) return null;
  const middle = view.u0 + (view.u1 - view.u0) * about;
  const u0 = Math.min(Math.max(middle - span * about, 0), length - span);
  return { u0, u1: u0 + span };
}

function shifted(view: View, share: number, traces: Traces | null): View {
  const length = traces?.axis.length ?? 1;
  const span = view.u1 - view.u0;
  const u0 = Math.min(Math.max(view.u0 + share * span, 0), length - span);
  return { u0, u1: u0 + span };
}

function viewOfSpan(axis: TimeAxis, span: TimeSpan): View {
  const [u0, u1] = [placeOfTime(axis, span.start_s), placeOfTime(axis, span.end_s)];
  const room = Math.max(0.05 * (u1 - u0), LEAST_VIEW_S / 2);
  return { u0: Math.max(u0 - room, 0), u1: Math.min(u1 + room, axis.length) };
}

/** The end of the span that the cursor stands at goes along with it. */
function stretched(span: TimeSpan | null, from: number, to: number): TimeSpan {
  const near = 1e-6;
  if (span && Math.abs(span.end_s - from) < near) return ordered(span.start_s, to);
  if (span && Math.abs(span.start_s - from) < near) return ordered(to, span.end_s);
  return ordered(from, to);
}

function ordered(a: number, b: number): TimeSpan {
  return { start_s: Math.min(a, b), end_s: Math.max(a, b) };
}

function nearestRow({ machines }: Traces, t_s: number) {
  let best: { field: number; row: number; t_s: number } | null = null;
  for (const rows of machines) {
    const at = nearestInTime(rows.t_s, t_s);
    if (at < 0 || (best && Math.abs(rows.t_s[at] - t_s) >= Math.abs(best.t_s - t_s))) continue;
    best = { field: rows.field[at], row: rows.row[at], t_s: rows.t_s[at] };
  }
  return best;
}

/** Number of a track at a moment: of the machine whose row is nearest in time. */
function numberAt({ traces }: TrackTraces, t_s: number): number {
  let number = Number.NaN;
  let least = Infinity;
  for (const trace of traces) {
    const at = nearestInTime(trace.t_s, t_s);
    if (at < 0 || Math.abs(trace.t_s[at] - t_s) >= least) continue;
    least = Math.abs(trace.t_s[at] - t_s);
    number = trace.numbers[at];
  }
  return number;
}

function shownTrack(track: TrackName, units: TimelineProps['units'], bushel_kg?: number): ShownQuantity {
  if (track === 'empty_level') return { name: 'Empty level', unit: '%', per_si: 100, digits: 1 };
  return shownQuantity(track, units, bushel_kg);
}

function bandPlace({ from, to }: { from: number; to: number }, width: number): React.CSSProperties {
  const left = Math.min(Math.max(Math.min(from, to), 0), width);
  const right = Math.min(Math.max(from, to, 0), width);
  return { left, width: right - left };
}
