/** Puts the window on the page: one session, one tree of views. */
import '@fontsource-variable/inter/wght.css';
import './style/tokens.css';
import './style/base.css';
import './style/shell.css';
import './style/narrow.css';
import './style/panels.css';
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Window } from './app/window.tsx';
import { hostClient } from './host-client/host-client.ts';
import { Session } from './session/session.ts';
import { SessionContext } from './session/use-session.ts';

const THEME_KEY = 'sheaflight-theme';

const place = document.getElementById('window');
if (place === null) throw new RangeError('index.html has no place for the window');

const session = new Session(
  hostClient((...request) => fetch(...request)),
  {
    theme: firstTheme(),
    onSeason: rememberSeason,
  },
);
session.subscribe(showTheme);
showTheme();
openAsked();
addEventListener('hashchange', openAsked);

createRoot(place).render(
  <StrictMode>
    <SessionContext value={session}>
      <Window />
    </SessionContext>
  </StrictMode>,
);

/** The address may name a folder to open, or the season that was open before a reload. */
function openAsked(): void {
  const asked = new URLSearchParams(location.hash.slice(1));
  const folder = asked.get('folder');
  const season = asked.get('season');
  if (season !== null && season === session.state.season?.season) return;
  void (folder === null ? session.start(season) : session.openFolder(folder));
}

/** The season stands in the address, so that a reload opens it again. */
function rememberSeason(season: string | null): void {
  const hash = season === null ? '' : `#season=${encodeURIComponent(season)}`;
  history.replaceState(null, '', `${location.pathname}${location.search}${hash}`);
}

function firstTheme(): 'light' | 'dark' {
  const chosen = localStorage.getItem(THEME_KEY);
  if (chosen === 'light' || chosen === 'dark') return chosen;
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}

function showTheme(): void {
  const { theme } = session.state.view;
  if (document.documentElement.dataset.theme === theme) return;
  if (document.documentElement.dataset.theme !== undefined) localStorage.setItem(THEME_KEY, theme);
  document.documentElement.dataset.theme = theme;
}
