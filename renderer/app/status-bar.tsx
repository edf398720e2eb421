/** The foot of the window: notices, what is being worked at and how to stop it, and the legal line. */
import type { Notice, Severity } from '../../core/errors.ts';
import { hasEnded } from '../host-client/host-client.ts';
import { isWorking } from '../session/session-state.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { counted, LEGAL_LINE } from '../text/words.ts';
import { StateMark } from './figure.tsx';
import { HangingSheet } from './hanging-sheet.tsx';

const ORDER: readonly Severity[] = ['mend', 'look', 'info'];

export function StatusBar() {
  const state = useSessionState();
  const { season, built } = state;
  const notices = [...(built?.reply.notices ?? []), ...(season?.notices ?? [])].sort(
    (a, b) => ORDER.indexOf(a.severity) - ORDER.indexOf(b.severity),
  );
  const toLook = notices.filter(({ severity }) => severity !== 'info').length;
  return (
    <footer className="status">
      <HangingSheet
        label="Notices"
        className=""
        button={
          <>
            <StateMark state={toLook > 0 ? (notices[0].severity === 'mend' ? 'mend' : 'look') : 'good'} />{' '}
            {toLook > 0 ? `${counted(toLook, 'notice')} to look at` : counted(notices.length, 'notice')}
          </>
        }
      >
        <NoticeList notices={notices} />
      </HangingSheet>
      <Work />
      <span className="spring" />
      <span className="quiet">Kept as you go; nothing to save</span>
      <span>{LEGAL_LINE}</span>
    </footer>
  );
}

function NoticeList({ notices }: { readonly notices: readonly Notice[] }) {
  if (notices.length === 0) return <p className="quiet">Nothing was noticed that you need to know.</p>;
  return (
    <ul className="notice-list">
      {notices.map((notice) => (
        <li key={`${notice.code} ${notice.source} ${notice.text}`}>
          <StateMark state={notice.severity} />
          <span>{notice.text}</span>
        </li>
      ))}
    </ul>
  );
}

function Work() {
  const session = useSession();
  const state = useSessionState();
  const { job, sending } = state;
  const words = sending ?? (job === null || hasEnded(job) ? '' : job.stage === '' ? 'waiting' : job.stage);
  return (
    <span className="work-words">
      <span role="status" aria-live="polite">
        {isWorking(state) ? words : job?.state === 'cancelled' ? 'Stopped; the figures are those before' : ''}
      </span>
      {isWorking(state) && (
        <>
          {sending === null && job !== null && (
            <progress
              value={job.fraction}
              max={1}
              aria-label={`${words}, ${Math.round(100 * job.fraction)} %`}
            />
          )}
          {sending === null && (
            <button type="button" className="framed" onClick={() => void session.cancel()}>
              Stop
            </button>
          )}
        </>
      )}
    </span>
  );
}
