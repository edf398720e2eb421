/** Draws and changes a field's boundary on the map: corners by clicks or keys, the area live, crossings told where they are. */
import { useEffect, useMemo, useReducer, useRef, useState, useSyncExternalStore } from 'react';
import {
  type DrawnPlace,
  type DrawnRing,
  drawnArea_m2,
  drawnFault,
} from '../../core/track/drawn-boundary.ts';
import { area, type UnitSystem } from '../text/quantities.ts';
import { draftOf, ringsSoFar, stepped } from './boundary-draft.ts';
import { BoundaryHandles, pathOfRings } from './boundary-handles.tsx';
import { Crosshair, linePath, stepOfClick, useKeysOnMap, useMapClicks } from './drawing-tools.tsx';
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
    const clicked = open === null ? undefined : stepOfClick(view, open, x, y);
    if (clicked !== undefined) step(clicked);
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
