/** One season built by a process of its own: started, heard, stopped, and its end put into words. */
import { fork } from 'node:child_process';
import { constants } from 'node:os';
import { join } from 'node:path';
import { programFolder } from '../program-version.ts';
import type { BuildNews, BuildOrder } from './build-messages.ts';

export type BuildEnd =
  | { readonly kind: 'built'; readonly remarks: readonly string[] }
  | { readonly kind: 'failed'; readonly text: string }
  /** A mistake of ours. */
  | { readonly kind: 'fault'; readonly stack: string }
  | { readonly kind: 'stopped' };

export interface ProcessHooks {
  readonly onProgress: (stage: string, share: number) => void;
  /** Aborted: the process is asked to end, and made to after a while. */
  readonly signal: AbortSignal;
  /** The compiled script. */
  readonly script?: string;
}

/** How long removing half-written files may take. */
const PATIENCE_MS = 5000;
/** Of what a dying process says the end tells why. */
const MOST_WORDS = 4000;

/** Ends when the process has ended; never rejects. */
export function buildInProcess(order: BuildOrder, hooks: ProcessHooks): Promise<BuildEnd> {
  if (hooks.signal.aborted) return Promise.resolve({ kind: 'stopped' });
  const script =
    hooks.script ?? join(programFolder(), 'dist', 'electron', 'host', 'build-all', 'build-process.js');
  return new Promise((resolve) => {
    const child = fork(script, { stdio: ['ignore', 'ignore', 'pipe', 'ipc'] });
    const remarks: string[] = [];
    let news: BuildNews | undefined;
    let lastWords = '';
    let patience: NodeJS.Timeout | undefined;
    const onAbort = () => {
      child.kill('SIGTERM');
      patience = setTimeout(() => child.kill('SIGKILL'), PATIENCE_MS);
    };
    const end = (ended: BuildEnd) => {
      clearTimeout(patience);
      hooks.signal.removeEventListener('abort', onAbort);
      resolve(ended);
    };
    hooks.signal.addEventListener('abort', onAbort, { once: true });
    child.stderr?.on('data', (piece: Buffer) => {
      lastWords = (lastWords + piece.toString()).slice(-MOST_WORDS);
    });
    child.on('message', (heard: BuildNews) => {
      if (heard.kind === 'progress') hooks.onProgress(heard.stage, heard.share);
      else if (heard.kind === 'remark') remarks.push(heard.text);
      else news = heard;
    });
    child.once('error', (caught) =>
      end({ kind: 'failed', text: `no process could be started for it: ${caught.message}.` }),
    );
    child.once('close', (code, signal) => {
      if (news?.kind === 'built') end({ kind: 'built', remarks });
      else if (news?.kind === 'fault') end(news);
      else if (news?.kind === 'failed')
        end(news.error.code === 'stopped' ? { kind: 'stopped' } : { kind: 'failed', text: news.error.text });
      else if (hooks.signal.aborted || signal === 'SIGINT') end({ kind: 'stopped' });
      else end({ kind: 'failed', text: deathText(code, signal, lastWords) });
    });
    child.send(order, () => undefined);
  });
}

/** Why a process that said nothing came to its end. */
function deathText(code: number | null, signal: NodeJS.Signals | null, lastWords: string): string {
  if (/out of memory|allocation failed/i.test(lastWords))
    return 'it ran out of memory; run it again with --jobs 1, or split the season into several.';
  const name = signal ?? signalOf(code);
  if (name === 'SIGKILL')
    return 'its process was ended by the system or by someone, as systems do where memory runs out; run it again with --jobs 1.';
  const how = name === undefined ? `with code ${code}` : `by ${name}`;
  return `its process was ended ${how} before it was done; run it again, and if that does not help, build this season alone.`;
}

/** Shells and containers give signals as 128 and a number. */
function signalOf(code: number | null): string | undefined {
  if (code === null || code <= 128) return undefined;
  return Object.entries(constants.signals).find(([, number]) => number === code - 128)?.[0];
}
