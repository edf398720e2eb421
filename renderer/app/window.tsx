/** The window: the home, or a season with its stage line, map, evidence and timeline, always in the same places. */
import { useEffect } from 'react';
import { FirstAcre } from '../first-acre/first-acre.tsx';
import type { Session } from '../session/session.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import { ChangeBar } from './change-bar.tsx';
import { DropFiles } from './drop-files.tsx';
import { Evidence } from './evidence.tsx';
import { Head } from './head.tsx';
import { Home } from './home.tsx';
import { MapPlace } from './map-place.tsx';
import { Overview } from './overview.tsx';
import { ReportPreview, useReportPreview } from './report-preview.tsx';
import { Ribbon } from './ribbon.tsx';
import { StageLine, stageOfKey } from './stage-line.tsx';
import { StatusBar } from './status-bar.tsx';
import { TimelinePlace } from './timeline-place.tsx';
import { Trouble } from './trouble.tsx';

export function Window() {
  const { phase, season, view } = useSessionState();
  const preview = useReportPreview();
  useKeys();
  useEffect(() => {
    document.title = season === null ? 'Sheaflight' : `${season.document.name} · Sheaflight`;
  }, [season]);
  if (view.isFitting) return <FirstAcre />;
  if (phase !== 'season') {
    return (
      <>
        <Home />
        <DropFiles />
      </>
    );
  }
  return (
    <div className="shell">
      <div>
        <Head />
        <Trouble />
      </div>
      <StageLine />
      <Ribbon />
      <main className="work">
        {view.isOverview ? (
          <Overview />
        ) : (
          <div className="map-region">
            <ChangeBar />
            <div className="map-inner">
              {preview === null ? <MapPlace /> : <ReportPreview {...preview} />}
            </div>
          </div>
        )}
        <TimelinePlace />
        <Evidence />
      </main>
      <StatusBar />
      <DropFiles />
    </div>
  );
}

/** Keys that work wherever nothing is being typed. */
function useKeys(): void {
  const session = useSession();
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented || session.state.phase !== 'season' || isTyping(event.target)) return;
      if (session.state.view.isFitting) return;
      if (actOnKey(session, event)) event.preventDefault();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  }, [session]);
}

function actOnKey(session: Session, { key, ctrlKey, metaKey, shiftKey, altKey }: KeyboardEvent): boolean {
  if (ctrlKey || metaKey) {
    if (key.toLowerCase() === 'z') void (shiftKey ? session.redo() : session.undo());
    else if (key.toLowerCase() === 'y') void session.redo();
    else return false;
    return true;
  }
  if (altKey) return false;
  const stage = stageOfKey(key);
  if (stage !== undefined) session.look({ stage, isOverview: false });
  else if (key === 'o') session.look({ isOverview: !session.state.view.isOverview });
  else if (key === 'Escape') session.look({ selection: null, span: null, thread: null, ticket: null });
  else return false;
  return true;
}

/** Where keys are letters: a switch or a radio button is none. */
function isTyping(target: EventTarget | null): boolean {
  if (target instanceof HTMLInputElement) return target.type !== 'checkbox' && target.type !== 'radio';
  return target instanceof HTMLSelectElement || target instanceof HTMLTextAreaElement;
}
