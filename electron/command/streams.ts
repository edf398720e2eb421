/** Where the command speaks and writes, so that tests can listen, and can put a full disk in its place. */
import { diskLayer, type FileLayer } from '../host/file-layer.ts';
import { printable } from './printable.ts';

export interface Streams {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Whether someone watches stderr: then progress is shown there. */
  readonly isTerminal: boolean;
  /** The disk that results go to. */
  readonly layer: FileLayer;
}

/** The process's own streams. A reader that has gone away (`| head`) is no fault. */
export function processStreams(): Streams {
  process.stdout.on('error', (caught: { code?: string }) => {
    if (caught.code !== 'EPIPE') throw caught;
  });
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    isTerminal: process.stderr.isTTY === true,
    layer: diskLayer,
  };
}

/** A progress line that is redrawn in place, at most ten times a second, and wiped when done. Names in it move no cursor. */
export interface ProgressLine {
  readonly show: (stage: string, share: number) => void;
  readonly text: (text: string) => void;
  readonly wipe: () => void;
}

/** Narrower than any terminal in use: a line that wraps cannot be redrawn. A choice of ours. */
const LINE_WIDTH = 79;

/** The line on the stream of errors; nothing where nobody watches. */
export function progressLine(streams: Streams): ProgressLine {
  if (!streams.isTerminal) return { show: () => undefined, text: () => undefined, wipe: () => undefined };
  let last_ms = 0;
  const text = (shown: string) => {
    const now_ms = Date.now();
    if (now_ms - last_ms < 100) return;
    last_ms = now_ms;
    streams.err(`\r\u001b[2K${printable(shown).replaceAll('\n', ' ').slice(0, LINE_WIDTH)}`);
  };
  return {
    show: (stage, share) => text(`${stage} ${Math.round(100 * share)} %`),
    text,
    wipe: () => streams.err('\r\u001b[2K'),
  };
}

/** A line about work on many things at once, redrawn in place like a progress line. */
export interface BoardLine {
  readonly show: (name: string, stage: string, share: number) => void;
  /** Wipes the line, so that something can be said above the next one. */
  readonly done: (name: string) => void;
  readonly wipe: () => void;
}

/** The line over `count` things. */
export function boardLine(streams: Streams, count: number): BoardLine {
  const line = progressLine(streams);
  const open = new Map<string, string>();
  let done = 0;
  return {
    show: (name, stage, share) => {
      open.set(name, `${name}: ${stage} ${Math.floor(100 * share)} %`);
      line.text(`${done} of ${count} done  ${[...open.values()].join('  ')}`);
    },
    done: (name) => {
      open.delete(name);
      done++;
      line.wipe();
    },
    wipe: line.wipe,
  };
}
