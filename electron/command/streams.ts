/** Where the command speaks and writes, so that tests can listen, and can put a full disk in its place. */
import { diskLayer, type FileLayer } from '../host/file-layer.ts';

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

/** A progress line that is redrawn in place, at most ten times a second, and wiped when done. */
export interface ProgressLine {
  readonly show: (stage: string, share: number) => void;
  readonly wipe: () => void;
}

export function progressLine(streams: Streams): ProgressLine {
  if (!streams.isTerminal) return { show: () => undefined, wipe: () => undefined };
  let last_ms = 0;
  return {
    show: (stage, share) => {
      const now_ms = Date.now();
      if (now_ms - last_ms < 100) return;
      last_ms = now_ms;
      streams.err(`\r\u001b[2K${stage} ${Math.round(100 * share)} %`);
    },
    wipe: () => streams.err('\r\u001b[2K'),
  };
}
