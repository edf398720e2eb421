/** What lies over the map in its own pixels: the row under the pointer, the line of a lasso, the divide of a split view. */
import {
  type KeyboardEvent,
  type PointerEvent,
  useMemo,
  useRef,
  useState,
  useSyncExternalStore,
} from 'react';
import type { FieldMapView } from './field-map-view.ts';
import { swathCorners } from './hit-test.ts';
import { type LocalFrame, metresFromLonLat } from './local-frame.ts';
import type { PreparedField } from './prepared-field.ts';
import type { LonLatRing } from './types.ts';

interface RowRingProps {
  readonly view: FieldMapView;
  readonly field: PreparedField;
  readonly row: number;
}

/** Outline of one row's swath; a ring where it is too small to see or has no width. */
export function RowRing({ view, field, row }: RowRingProps) {
  useSyncExternalStore(view.subscribe, view.camera);
  const { columns, ground } = field;
  const corners = swathCorners(columns, ground, row);
  const [x, y] = view.pixelsAt(ground.xy_m[2 * row], ground.xy_m[2 * row + 1]);
  if (Number.isNaN(x)) return null;
  const places: string[] = [];
  for (let i = 0; i < corners.length; i += 2)
    places.push(view.pixelsAt(corners[i], corners[i + 1]).join(','));
  return (
    <g className="row-ring">
      {places.length > 0 && <polygon points={places.join(' ')} className="halo" />}
      {places.length > 0 && <polygon points={places.join(' ')} />}
      <circle cx={x} cy={y} r={7} className="halo" />
      <circle cx={x} cy={y} r={7} />
    </g>
  );
}

interface OutlineProps {
  readonly view: FieldMapView;
  readonly frame: LocalFrame;
  readonly rings: readonly LonLatRing[];
}

/** The field's boundary: drawn once in metres, moved with the map. */
export function Outline({ view, frame, rings }: OutlineProps) {
  const { px_per_m, origin_x, origin_y } = useSyncExternalStore(view.subscribe, view.camera);
  const path = useMemo(() => rings.map((ring) => ringPath(frame, ring)).join(''), [frame, rings]);
  // A metre north is not quite as long on the map as a metre east.
  const px_per_north_m = (px_per_m * frame.east_m_per_mercator) / frame.north_m_per_mercator;
  return (
    <path
      d={path}
      className="field-outline"
      transform={`matrix(${px_per_m} 0 0 ${-px_per_north_m} ${origin_x} ${origin_y})`}
    />
  );
}

function ringPath(frame: LocalFrame, ring: LonLatRing): string {
  const places = ring.map(([longitude, latitude]) => {
    const [east_m, north_m] = metresFromLonLat(frame, longitude, latitude);
    return `${east_m.toFixed(2)} ${north_m.toFixed(2)}`;
  });
  return `M${places.join('L')}z`;
}

interface LassoProps {
  /** The finished line, x, y, x, y … in the map's pixels. */
  readonly onDrawn: (line: readonly number[], how: 'replace' | 'add' | 'remove') => void;
}

/** Least distance of two corners of the line, px. */
const CORNER_PX = 3;

/** Takes the pointer while a line is drawn around rows; Shift adds to the selection, Alt takes away. */
export function Lasso({ onDrawn }: LassoProps) {
  const line = useRef<number[]>([]);
  const [path, setPath] = useState('');
  const begin = (event: PointerEvent<SVGRectElement>) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    line.current = placeOf(event);
    setPath('');
  };
  const go = (event: PointerEvent<SVGRectElement>) => {
    if (line.current.length === 0) return;
    const [x, y] = placeOf(event);
    const [lastX, lastY] = line.current.slice(-2);
    if (Math.hypot(x - lastX, y - lastY) < CORNER_PX) return;
    line.current.push(x, y);
    setPath(pathOf(line.current));
  };
  const end = (event: PointerEvent<SVGRectElement>) => {
    const drawn = line.current;
    line.current = [];
    setPath('');
    if (drawn.length >= 6) onDrawn(drawn, event.altKey ? 'remove' : event.shiftKey ? 'add' : 'replace');
  };
  return (
    <>
      <rect
        className="lasso-ground"
        width="100%"
        height="100%"
        onPointerDown={begin}
        onPointerMove={go}
        onPointerUp={end}
        onPointerCancel={end}
      />
      {path !== '' && <path d={`${path}z`} className="lasso-line" />}
    </>
  );
}

interface DivideProps {
  readonly share: number;
  readonly before_label: string;
  readonly after_label: string;
  readonly onChange: (share: number) => void;
}

const KEY_STEP = 0.02;

/** The line between before and after: dragged, or moved with the arrow keys. */
export function Divide({ share, before_label, after_label, onChange }: DivideProps) {
  const drag = (event: PointerEvent<HTMLDivElement>) => {
    if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const box = event.currentTarget.parentElement?.getBoundingClientRect();
    if (box) onChange(Math.min(Math.max((event.clientX - box.left) / box.width, 0.02), 0.98));
  };
  const press = (event: KeyboardEvent) => {
    const step = event.key === 'ArrowLeft' ? -KEY_STEP : event.key === 'ArrowRight' ? KEY_STEP : 0;
    if (step === 0) return;
    event.preventDefault();
    event.stopPropagation();
    onChange(Math.min(Math.max(share + step, 0.02), 0.98));
  };
  return (
    <div
      className="map-divide"
      role="slider"
      tabIndex={0}
      aria-label={`Line between ${before_label} (left) and ${after_label} (right)`}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round(100 * share)}
      style={{ left: `${100 * share}%` }}
      onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
      onPointerMove={drag}
      onKeyDown={press}
    >
      <span className="before">{before_label}</span>
      <span className="after">{after_label}</span>
    </div>
  );
}

function placeOf(event: PointerEvent<SVGElement>): [number, number] {
  const box = event.currentTarget.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function pathOf(line: readonly number[]): string {
  let path = `M${line[0]} ${line[1]}`;
  for (let i = 2; i < line.length; i += 2) path += `L${line[i]} ${line[i + 1]}`;
  return path;
}
