/** The load report, to print and keep with the tickets. */
import type { StepContext } from '../panel.tsx';

const NAME = 'loads.html';

export function LoadReport({ session, state }: StepContext) {
  const { exported, sending, preview, season } = state;
  const path = exported?.files.find((file) => file.path.endsWith(`/${NAME}`))?.path;
  return (
    <section>
      <h3>Load report</h3>
      <p className="estimate">
        To print and keep with the tickets: a page for each machine and crop, with the loads, what the fit is
        worth, and what it can and cannot be used for.
      </p>
      <p className="row">
        <button
          type="button"
          className="framed"
          disabled={sending !== null || preview !== null}
          onClick={() => void session.exportPoints({ points: 'kept' })}
        >
          Write the load report
        </button>
        {path !== undefined && season !== null && (
          <ReportLink address={session.host.fileAddress(season.season, path)} />
        )}
        {preview !== null && <span className="quiet">Keep or leave what you are trying first.</span>}
      </p>
    </section>
  );
}

/** A browser opens it beside; the program's own window opens no others, and hands it over to be saved. */
function ReportLink({ address }: { readonly address: string }) {
  const isBrowser = location.protocol.startsWith('http');
  return isBrowser ? (
    <a href={address} target="_blank" rel="noreferrer">
      Open it, to print
    </a>
  ) : (
    <a href={address} download={NAME}>
      {NAME}
    </a>
  );
}
