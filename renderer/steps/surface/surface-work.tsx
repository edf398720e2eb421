/** How far the making of a surface is, and the way to stop it; what stands there when it was stopped or could not be made. */
import { StateMark } from '../../app/figure.tsx';
import { type SurfaceView, surfacesOf } from '../../session/surfaces.ts';
import { useSession } from '../../session/use-session.ts';
import { capitalised } from '../../text/words.ts';

export function SurfaceWork({ view }: { readonly view: SurfaceView }) {
  const surfaces = surfacesOf(useSession());
  const { isMaking, job, isStopped, trouble, asked, surface, draft } = view;
  const again = asked !== null && (
    <button type="button" className="framed" onClick={() => surfaces.again(asked)}>
      {trouble === null ? 'Make it' : 'Try again'}
    </button>
  );
  if (isMaking) {
    const stage = job?.stage ? capitalised(job.stage) : 'Making the surface';
    return (
      <div className="row working" role="status">
        <span>{stage}…</span>
        <progress value={job?.fraction ?? 0} max={1} aria-label={stage} />
        <button type="button" className="framed" onClick={() => void surfaces.stop()}>
          Stop
        </button>
      </div>
    );
  }
  if (trouble !== null)
    return (
      <p className="row" role="alert">
        <span>
          <StateMark state="mend" /> {trouble}
          {surface !== null && ' The map shows the surface before.'}
        </span>
        {draft === null && again}
      </p>
    );
  if (!isStopped) return null;
  return (
    <div className="row" role="status">
      <span>
        {surface === null
          ? 'Stopped before there was a surface.'
          : 'Stopped; the map shows the surface before.'}
      </span>
      {again}
    </div>
  );
}
