/** Draws and changes strips on the map: corners by clicks or keys, one strip after the other, and copies side by side. */
import { useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { type DrawnPlace, drawnArea_m2 } from '../../core/track/drawn-boundary.ts';
import { type StripDraft, type StripStep, stripFault } from '../session/strip-draft.ts';
import { area, type UnitSystem } from '../text/quantities.ts';
import { counted } from '../text/words.ts';
import { type DraftStep, ringsSoFar } from './boundary-draft.ts';
import { BoundaryHandles } from './boundary-handles.tsx';
import { Crosshair, linePath, stepOfClick, useKeysOnMap, useMapClicks } from './drawing-tools.tsx';
import type { FieldMapView } from './field-map-view.ts';
import { StripOutlines } from './strips-on-map.tsx';

interface EditorProps {
  readonly view: FieldMapView;
  readonly draft: StripDraft;
  readonly units: UnitSystem;
  readonly onStep: (step: StripStep) => void;
  readonly onLeave: () => void;
}

export function StripEditor({ view, draft, units, onStep, onLeave }: EditorProps) {
  const [pointer, setPointer] = useState<DrawnPlace | null>(null);
  useSyncExternalStore(view.subscribe, view.camera);
  const { shapes, labels, past, chosen } = draft;
  const { rings, open } = shapes;
  const isDrawing = open !== null;
  const shape = (step: DraftStep) => onStep({ kind: 'shape', step });
  const pixelsOf = ([longitude_deg, latitude_deg]: DrawnPlace) =>
    view.map.project([longitude_deg, latitude_deg]);
  const addAt = (x: number, y: number) => {
    const step = open === null ? undefined : stepOfClick(view, open, x, y);
    if (step !== undefined) shape(step);
  };
  useMapClicks(view, isDrawing, addAt, setPointer, () => shape({ kind: 'close_ring' }));
  const press = ({ key, target, ctrlKey, metaKey }: globalThis.KeyboardEvent): boolean => {
    if (key === 'Escape') {
      if (isDrawing && rings.length + (open?.length ?? 0) > 0) shape({ kind: 'leave_ring' });
      else if (past.length === 0) onLeave();
    } else if ((ctrlKey || metaKey) && key.toLowerCase() === 'z') onStep({ kind: 'undo' });
    else if (key === 'Backspace' && isDrawing) shape({ kind: 'remove_last_corner' });
    else if (key === 'Enter' && isDrawing && !(target instanceof HTMLButtonElement))
      shape({ kind: 'close_ring' });
    else return false;
    return true;
  };
  useKeysOnMap(view, press);
  const root = useRef<HTMLElement>(null);
  useEffect(() => root.current?.focus(), []);
  const fault = stripFault(draft);
  const drawnLine = open && pointer ? [...open, pointer] : (open ?? []);
  const beingDrawn = isDrawing ? ringsSoFar(shapes, pointer).at(-1) : undefined;
  const shown = beingDrawn ?? (chosen === null ? undefined : rings[chosen]);
  const size = area(shown === undefined ? 0 : drawnArea_m2([shown]) / 10_000, units);
  return (
    <div className="boundary-editor">
      <svg className="boundary-drawing strips-on-map" aria-hidden={false}>
        <title>Strips of {draft.name}</title>
        <StripOutlines
          view={view}
          strips={rings.map((ring, k) => ({ ...labels[k], rings: [ring] }))}
          chosen={chosen}
          onChoose={isDrawing ? undefined : (strip) => onStep({ kind: 'choose', strip })}
        />
        {drawnLine.length > 0 && <path d={linePath(drawnLine.map(pixelsOf))} className="halo" />}
        {drawnLine.length > 0 && <path d={linePath(drawnLine.map(pixelsOf))} className="drawing" />}
        {open?.map((place) => (
          <circle key={place.join()} cx={pixelsOf(place).x} cy={pixelsOf(place).y} r={4} className="placed" />
        ))}
        {open !== null && open.length >= 3 && (
          <circle cx={pixelsOf(open[0]).x} cy={pixelsOf(open[0]).y} r={8} className="closing" />
        )}
        {!isDrawing && chosen !== null && (
          <BoundaryHandles view={view} rings={rings} onStep={shape} only={chosen} called="strip" />
        )}
        {isDrawing && <Crosshair view={view} onPlace={addAt} onMove={setPointer} />}
        {fault && Number.isFinite(fault.place[0]) && (
          <g transform={`translate(${pixelsOf(fault.place).x} ${pixelsOf(fault.place).y})`} className="fault">
            <path d="M-6-6 6 6M6-6-6 6" />
            <circle r={12} />
          </g>
        )}
      </svg>
      <section ref={root} tabIndex={-1} className="boundary-panel" aria-label="Strips on the map">
        <p className="boundary-area">
          <b>{counted(rings.length, 'strip')}</b>{' '}
          {shown !== undefined && (
            <span className="quiet">
              {beingDrawn === undefined ? `strip ${(chosen ?? 0) + 1}: ` : 'this one: '}
              {size.number} {size.unit}
            </span>
          )}
        </p>
        <p className="quiet">{isDrawing ? DRAWING : CHANGING}</p>
        <p role="status" className="boundary-fault">
          {fault === undefined ? '' : `Strip ${fault.strip + 1}: ${fault.text}`}
        </p>
        <div className="boundary-buttons">
          <button
            type="button"
            className={isDrawing || rings.length === 0 ? undefined : 'main'}
            disabled={isDrawing || rings.length === 0}
            onClick={() => onStep({ kind: 'repeat' })}
          >
            Add one beside it
          </button>
          <button type="button" disabled={isDrawing} onClick={() => shape({ kind: 'begin_ring' })}>
            Draw another
          </button>
          <button type="button" disabled={past.length === 0} onClick={() => onStep({ kind: 'undo' })}>
            Step back
          </button>
        </div>
      </section>
    </div>
  );
}

const DRAWING =
  'Click corner after corner along the passes, as wide as the cut; the first corner, a double click or Enter closes the strip. Backspace takes the last corner back, Esc leaves the strip. By keys: Tab to the cross, arrows move it, Space sets a corner.';
const CHANGING =
  'Click a strip to take hold of its corners; drag them, or by keys: Tab to a corner, arrows move it, Delete removes it. A strip beside the last one has its shape.';
