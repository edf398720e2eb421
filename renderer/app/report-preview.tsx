/** A report in the map's place, as whoever gets it sees it: a page of its own in a frame in which nothing runs. */
import { reportsOf, useReports } from '../session/reports.ts';
import { useSession, useSessionState } from '../session/use-session.ts';

export function ReportPreview({ path, making }: { readonly path: string; readonly making: number }) {
  const session = useSession();
  const { season } = useSessionState();
  if (season === null) return null;
  const address = session.host.fileAddress(season.season, path);
  const name = path.slice(path.lastIndexOf('/') + 1);
  return (
    <section className="report-preview" aria-label="Report preview">
      <div className="row">
        <b>{name}</b>
        <span className="quiet">as it is handed on</span>
        <span className="push" />
        <button type="button" className="framed" onClick={() => reportsOf(session).look(null)}>
          Back to the map
        </button>
      </div>
      <iframe key={`${path} ${making}`} src={address} title={`Report ${name}`} sandbox="" />
    </section>
  );
}

/** The report that is looked at, while Deliver is open. */
export function useReportPreview(): { readonly path: string; readonly making: number } | null {
  const { season, view } = useSessionState();
  const { preview } = useReports(season?.season);
  return view.stage === 'deliver' ? preview : null;
}
