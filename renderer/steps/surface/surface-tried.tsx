/** At the foot of the panel while settings are tried: what they do to the surface, and the choice to keep or leave them. */
import type { SurfaceReply } from '../../../core/surface/surface-details.ts';
import { haveSameCells, type ShownSurface, type SurfaceView, surfacesOf } from '../../session/surfaces.ts';
import { useSession } from '../../session/use-session.ts';
import { decimal, type Quantity } from '../../text/quantities.ts';
import { SurfaceWork } from './surface-work.tsx';

interface SurfaceTriedProps {
  readonly view: SurfaceView;
  /** A yield in the unit shown. */
  readonly shown: (yield_kg_m2: number | null) => Quantity;
}

export function SurfaceTried({ view, shown }: SurfaceTriedProps) {
  const surfaces = surfacesOf(useSession());
  const { draft, surface, own, isMaking, isStopped, trouble } = view;
  const isShown = !isMaking && !isStopped && trouble === null;
  if (draft === null) return null;
  return (
    <div className="tried at-foot">
      <p role="status">
        <b>Not kept yet.</b> {isShown && surface !== null && triedWords(own, surface, shown)}
      </p>
      <SurfaceWork view={view} />
      <div className="row">
        <button
          type="button"
          className="main"
          disabled={trouble !== null}
          onClick={() => void surfaces.keep()}
        >
          Keep
        </button>
        <button type="button" className="framed" onClick={() => surfaces.leave()}>
          Leave as it was
        </button>
        {isShown && <Against view={view} />}
      </div>
    </div>
  );
}

/** Lays the tried surface against the kept one on the map. */
function Against({ view: { surface, own, compare } }: { readonly view: SurfaceView }) {
  const surfaces = surfacesOf(useSession());
  if (surface === null || own === null || own === surface) return null;
  const show = (how: typeof compare) => surfaces.look({ compare: compare === how ? 'off' : how });
  return (
    <>
      {haveSameCells(own, surface) && (
        <button type="button" aria-pressed={compare === 'difference'} onClick={() => show('difference')}>
          Difference
        </button>
      )}
      <button type="button" aria-pressed={compare === 'split'} onClick={() => show('split')}>
        Before | after
      </button>
    </>
  );
}

/** What is different from the surface by the kept settings: cells, and how well left-out passes are foretold. */
export function triedWords(
  own: ShownSurface | null,
  tried: ShownSurface,
  shown: (yield_kg_m2: number | null) => Quantity,
): string {
  if (own === tried) return 'Cells are the same; only classes and zones change.';
  const cells = `${decimal(tried.details.cells, 0)} cells`;
  if (own === null) {
    const error = rmseOf(tried.details);
    if (error === null) return `${cells}.`;
    return `${cells}; passes left out are foretold within ${shown(error).number} ${shown(error).unit}.`;
  }
  const isAsMany = own.details.cells === tried.details.cells;
  const words = [isAsMany ? `${cells} as before` : `${cells} instead of ${decimal(own.details.cells, 0)}`];
  const [is, was] = [rmseOf(tried.details), rmseOf(own.details)];
  if (is !== null && was !== null) {
    const [now, before] = [shown(is), shown(was)];
    words.push(
      now.number === before.number
        ? `passes left out are foretold as well as before, within ${now.number} ${now.unit}`
        : `passes left out are foretold within ${now.number} instead of ${before.number} ${before.unit}`,
    );
  }
  return `${words.join('; ')}.`;
}

function rmseOf({ cross_validation }: SurfaceReply): number | null {
  return cross_validation?.rmse_kg_m2 ?? null;
}
