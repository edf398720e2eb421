/** Strips of a comparison over the map: outlined and marked by treatment, in shape as well as in colour. */
import { useSyncExternalStore } from 'react';
import type { DrawnRing } from '../../core/track/drawn-boundary.ts';
import { MarkShape, treatmentClass, treatmentsIn } from '../charts/treatment-mark.tsx';
import { pathOfRings } from './boundary-handles.tsx';
import type { FieldMapView } from './field-map-view.ts';

export interface StripOnMap {
  readonly treatment: string;
  readonly replicate: string;
  readonly rings: readonly DrawnRing[];
}

interface StripsProps {
  readonly view: FieldMapView;
  readonly strips: readonly StripOnMap[];
  readonly chosen?: number | null;
  readonly onChoose?: (strip: number) => void;
}

export function StripsOnMap({ view, strips }: Pick<StripsProps, 'view' | 'strips'>) {
  return (
    <svg className="strips-on-map">
      <title>{`${strips.length} strips: ${treatmentsIn(strips).join(', ')}`}</title>
      <StripOutlines view={view} strips={strips} />
    </svg>
  );
}

/** Room for words in a strip, px; narrower ones have their mark alone, and still narrower ones none. */
const ROOM_PX = { words: 13, mark: 7 };
const LONGEST_WORDS = 18;

export function StripOutlines({ view, strips, chosen, onChoose }: StripsProps) {
  useSyncExternalStore(view.subscribe, view.camera);
  const treatments = treatmentsIn(strips);
  const pixelsOf = ([longitude_deg, latitude_deg]: readonly [number, number]) =>
    view.map.project([longitude_deg, latitude_deg]);
  return (
    <>
      {strips.map((strip, k) => {
        const path = pathOfRings(strip.rings, pixelsOf);
        const place = treatments.indexOf(strip.treatment);
        return (
          // The place among the strips is what a strip is.
          // biome-ignore lint/suspicious/noArrayIndexKey: strips have no name of their own
          <g key={k} className={`strip ${treatmentClass(place)}`} data-chosen={k === chosen}>
            <path d={path} className="halo" />
            <path d={path} className="side" onPointerDown={() => onChoose?.(k)} />
          </g>
        );
      })}
      {strips.map((strip, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: strips have no name of their own
        <StripLabel key={k} strip={strip} place={treatments.indexOf(strip.treatment)} pixelsOf={pixelsOf} />
      ))}
    </>
  );
}

interface LabelProps {
  readonly strip: StripOnMap;
  readonly place: number;
  readonly pixelsOf: (place: readonly [number, number]) => { readonly x: number; readonly y: number };
}

/** At the left end of the strip, where it is wide enough. */
function StripLabel({ strip: { treatment, replicate, rings }, place, pixelsOf }: LabelProps) {
  const corners = rings[0]?.map(pixelsOf) ?? [];
  if (corners.length < 3) return null;
  const middle = (of: 'x' | 'y') => corners.reduce((sum, corner) => sum + corner[of], 0) / corners.length;
  const { along, room } = extentOf(corners);
  if (room < ROOM_PX.mark) return null;
  const reach = Math.min(along.length / 2 - 14, along.length * 0.46);
  const isTall = Math.abs(along.dy) > Math.abs(along.dx);
  const way = isTall ? (along.dy > 0 ? -1 : 1) : along.dx > 0 ? -1 : 1;
  const x = middle('x') + (way * reach * along.dx) / along.length;
  const y = middle('y') + (way * reach * along.dy) / along.length;
  const words = treatment.length > LONGEST_WORDS ? `${treatment.slice(0, LONGEST_WORDS - 1)}…` : treatment;
  const isWordy = isTall ? room > 60 : room >= ROOM_PX.words;
  return (
    <g className="strip-label">
      <circle cx={x} cy={y} r={Math.min(7, room / 2)} className="ground" />
      <MarkShape of={place} x={x} y={y} radius={Math.min(4.4, room / 3)} />
      {isWordy && (
        <text x={x + 11} y={y + 4}>
          {replicate === '' ? words : `${words} · ${replicate}`}
        </text>
      )}
    </g>
  );
}

/** The longest side, and how far the strip reaches across it. */
function extentOf(corners: readonly { readonly x: number; readonly y: number }[]) {
  const sides = corners.map(({ x, y }, i) => {
    const next = corners[(i + 1) % corners.length];
    return { dx: next.x - x, dy: next.y - y, length: Math.hypot(next.x - x, next.y - y) };
  });
  const along = sides.reduce((most, side) => (side.length > most.length ? side : most));
  const across = corners.map(({ x, y }) => (along.dx * y - along.dy * x) / Math.max(along.length, 1e-9));
  return { along, room: Math.max(...across) - Math.min(...across) };
}
