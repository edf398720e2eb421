/** Draws and changes a field's boundary on the map: corners by clicks or keys, the area live, crossings told where they are. */
import {
  type KeyboardEvent,
  useEffect,
  useMemo,
  useReducer,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import {
  type DrawnPlace,
  type DrawnRing,
  drawnArea_m2,
  drawnFault,
} from '../../core/track/drawn-boundary.ts';
import { area, type UnitSystem } from '../text/quantities.ts';
import { draftOf, ringsSoFar, stepped } from './boundary-draft.ts';
import { ARROWS, BoundaryHandles, KEY_STEP_PX, pathOfRings, placeAt } from './boundary-handles.tsx';
import type { FieldMapView } from './field-map-view.ts';
import type { LonLatRing } from './types.ts';

interface EditorProps {
  readonly view: FieldMapView;
  readonly field: string;
  readonly outline: readonly LonLatRing[];
  readonly units: UnitSystem;
  /** Keeps the rings as the field's boundary; whether they were taken. */
  readonly onSave: (rings: readonly DrawnRing[]) => Promise<boolean>;
  readonly onLeave: () => void;
}

/** Nearer than this to the first corner a click closes the ring, px. */
const CLOSE_PX = 11;
/** Two clicks of a double click are nearer than this, px. */
const SAME_PX = 5;

export function BoundaryEditor({ view, field, outline, units, onSave, onLeave }: EditorProps) {
  const [draft, step] = useReducer(stepped, outline, draftOf);
  const [pointer, setPointer] = useState<DrawnPlace | null>(null);
  const [isSaving, setSaving] = useState(false);
  useSyncExternalStore(view.subscribe, view.camera);
  const { rings, open, past } = draft;
  const isDrawing = open !== null;
  const fault = useMemo(() => (rings.length > 0 ? drawnFault(rings) : undefined), [rings]);
  const soFar = ringsSoFar(draft, pointer);
  const area_m2 = drawnArea_m2(soFar);
  const pixelsOf = ([longitude_deg, latitude_deg]: DrawnPlace) =>
    view.map.project([longitude_deg, latitude_deg]);

  const addAt = (x: number, y: number) => {
    if (open === null) return;
    const near = (place: DrawnPlace | undefined, reach: number) =>
      place !== undefined && Math.hypot(pixelsOf(place).x - x, pixelsOf(place).y - y) < reach;
    if (open.length > 0 && near(open.at(-1), SAME_PX)) return;
    if (open.length >= 3 && near(open[0], CLOSE_PX)) step({ kind: 'close_ring' });
    else step({ kind: 'add_corner', place: placeAt(view, x, y) });
  };
  useMapClicks(view, isDrawing, addAt, setPointer, () => step({ kind: 'close_ring' }));

  const save = async () => {
    setSaving(true);
    const isTaken = await onSave(rings);
    setSaving(false);
    if (isTaken) onLeave();
  };
  const press = ({ key, target, ctrlKey, metaKey }: globalThis.KeyboardEvent): boolean => {
    if (key === 'Escape') {
      if (isDrawing && rings.length + (open?.length ?? 0) > 0) step({ kind: 'leave_ring' });
      else if (past.length === 0) onLeave();
    } else if ((ctrlKey || metaKey) && key.toLowerCase() === 'z') step({ kind: 'undo' });
    else if (key === 'Backspace' && isDrawing) step({ kind: 'remove_last_corner' });
    else if (key === 'Enter' && isDrawing && !(target instanceof HTMLButtonElement))
      step({ kind: 'close_ring' });
    else return false;
    return true;
  };
  useKeysOnMap(view, press);
  const root = useRef<HTMLElement>(null);
  useEffect(() => root.current?.focus(), []);
  const drawnLine = open && pointer ? [...open, pointer] : (open ?? []);
  return (
    <div className="boundary-editor">
      <svg className="boundary-drawing" aria-hidden={false}>
        <title>Boundary of {field}</title>
        <path d={pathOfRings(rings, pixelsOf)} className="halo" />
        <path d={pathOfRings(rings, pixelsOf)} className="drawn" />
        {drawnLine.length > 0 && <path d={linePath(drawnLine.map(pixelsOf))} className="halo" />}
        {drawnLine.length > 0 && <path d={linePath(drawnLine.map(pixelsOf))} className="drawing" />}
        {open?.map((place) => (
          <circle key={place.join()} cx={pixelsOf(place).x} cy={pixelsOf(place).y} r={4} className="placed" />
        ))}
        {open !== null && open.length >= 3 && (
          <circle cx={pixelsOf(open[0]).x} cy={pixelsOf(open[0]).y} r={8} className="closing" />
        )}
        {!isDrawing && <BoundaryHandles view={view} rings={rings} onStep={step} />}
        {isDrawing && <Crosshair view={view} onPlace={addAt} onMove={setPointer} />}
        {fault && Number.isFinite(fault.place[0]) && (
          <g transform={`translate(${pixelsOf(fault.place).x} ${pixelsOf(fault.place).y})`} className="fault">
            <path d="M-6-6 6 6M6-6-6 6" />
            <circle r={12} />
          </g>
        )}
      </svg>
      <section ref={root} tabIndex={-1} className="boundary-panel" aria-label={`Boundary of ${field}`}>
        <p className="boundary-area">
          <b>{area(area_m2 / 10_000, units).number}</b>{' '}
          <span className="unit">{area(area_m2 / 10_000, units).unit}</span>
        </p>
        <p className="quiet">{isDrawing ? DRAWING : CHANGING}</p>
        <p role="status" className="boundary-fault">
          {fault?.text ?? ''}
        </p>
        <div className="boundary-buttons">
          <button
            type="button"
            className="main"
            disabled={isDrawing || past.length === 0 || rings.length === 0 || fault !== undefined || isSaving}
            onClick={() => void save()}
          >
            Keep boundary
          </button>
          <button type="button" onClick={onLeave}>
            {past.length > 0 ? 'Leave as it was' : 'Close'}
          </button>
          <button type="button" disabled={past.length === 0} onClick={() => step({ kind: 'undo' })}>
            Step back
          </button>
          <button type="button" disabled={isDrawing} onClick={() => step({ kind: 'begin_ring' })}>
            Island or piece
          </button>
          {!isDrawing && rings.length > 1 && (
            <button type="button" onClick={() => step({ kind: 'remove_ring', ring: rings.length - 1 })}>
              Remove last ring
            </button>
          )}
        </div>
      </section>
    </div>
  );
}

const DRAWING =
  'Click corner after corner; the first corner, a double click or Enter closes. Backspace takes the last one back, Esc leaves the ring. By keys: arrows move the cross, Space sets a corner.';
const CHANGING =
  'Drag a corner, or a small mark between two for a new one. By keys: Tab to a corner, arrows move it, Delete removes it, Insert adds one after it. A ring inside another is left out as an island.';

/** Keys while nothing else in the window has the focus: `onKey` says whether it was meant. */
function useKeysOnMap(view: FieldMapView, onKey: (event: globalThis.KeyboardEvent) => boolean): void {
  const latest = useRef(onKey);
  latest.current = onKey;
  useEffect(() => {
    const whole = view.map.getContainer().parentElement;
    const press = (event: globalThis.KeyboardEvent) => {
      const isHere =
        event.target === document.body || (event.target instanceof Node && whole?.contains(event.target));
      if (!isHere || !latest.current(event)) return;
      event.preventDefault();
      event.stopPropagation();
    };
    addEventListener('keydown', press, { capture: true });
    return () => removeEventListener('keydown', press, { capture: true });
  }, [view]);
}

/** Clicks and the pointer on the map while a ring is drawn; a double click does not zoom then. */
function useMapClicks(
  view: FieldMapView,
  isDrawing: boolean,
  onPlace: (x: number, y: number) => void,
  onMove: (place: DrawnPlace | null) => void,
  onDouble: () => void,
): void {
  const latest = useRef({ onPlace, onMove, onDouble });
  latest.current = { onPlace, onMove, onDouble };
  useEffect(() => {
    if (!isDrawing) return;
    const { map } = view;
    const click = map.on('click', ({ point }) => latest.current.onPlace(point.x, point.y));
    const move = map.on('mousemove', ({ point }) => latest.current.onMove(placeAt(view, point.x, point.y)));
    const double = map.on('dblclick', () => latest.current.onDouble());
    map.doubleClickZoom.disable();
    return () => {
      for (const subscription of [click, move, double]) subscription.unsubscribe();
      map.doubleClickZoom.enable();
      latest.current.onMove(null);
    };
  }, [view, isDrawing]);
}

interface CrosshairProps {
  readonly view: FieldMapView;
  readonly onPlace: (x: number, y: number) => void;
  readonly onMove: (place: DrawnPlace) => void;
}

/** A cross that arrow keys move over the map and Space sets corners with. */
function Crosshair({ view, onPlace, onMove }: CrosshairProps) {
  const { clientWidth, clientHeight } = view.map.getContainer();
  const [at, setAt] = useState({ x: clientWidth / 2, y: clientHeight / 2 });
  const [hasFocus, setFocus] = useState(false);
  const press = (event: KeyboardEvent) => {
    const size = event.shiftKey ? KEY_STEP_PX.fine : KEY_STEP_PX.plain;
    const way = ARROWS[event.key];
    if (way) {
      const x = Math.min(Math.max(at.x + way[0] * size, 0), clientWidth);
      const y = Math.min(Math.max(at.y + way[1] * size, 0), clientHeight);
      setAt({ x, y });
      onMove(placeAt(view, x, y));
    } else if (event.key === ' ') onPlace(at.x, at.y);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: a place in a drawing, no form's button
    <g
      role="button"
      tabIndex={0}
      aria-label="Cross for corners: arrows move it, Space sets a corner"
      className="crosshair"
      data-focus={hasFocus}
      transform={`translate(${at.x} ${at.y})`}
      onKeyDown={press}
      onFocus={() => setFocus(true)}
      onBlur={() => setFocus(false)}
    >
      <path d="M-14 0H-4M4 0H14M0-14V-4M0 4V14" />
    </g>
  );
}

function linePath(places: readonly { readonly x: number; readonly y: number }[]): string {
  return `M${places.map(({ x, y }) => `${x} ${y}`).join('L')}`;
}
