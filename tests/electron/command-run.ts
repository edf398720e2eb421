/** The command run in this process, with what it printed. */
import { main } from '../../electron/command/main.ts';
import { diskLayer, type FileLayer } from '../../electron/host/file-layer.ts';

export interface CommandRun {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs `sheaflight <args>` as from a script: without a terminal. */
export async function runCommand(args: readonly string[], layer: FileLayer = diskLayer): Promise<CommandRun> {
  let out = '';
  let err = '';
  const code = await main(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    isTerminal: false,
    layer,
  });
  return { code, out, err };
}
