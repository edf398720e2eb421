/** How the command says that an input is wrong, or that it was stopped. */
import type { DataError, Notice } from '../../core/errors.ts';
import { EXIT, type ExitCode } from './exit-codes.ts';
import { printable } from './printable.ts';
import type { Streams } from './streams.ts';

/** Codes of what Ctrl-C brings about: within the chain or a surface, and while files are written. */
const STOPPED: readonly string[] = ['cancelled', 'stopped'];

/** One line on stderr: what, where, how to mend it; then how many more there are. */
export function refuse(
  failed: { readonly error: DataError; readonly notices: readonly Notice[] },
  streams: Streams,
): ExitCode {
  streams.err(`sheaflight: ${printable(failed.error.text)}\n`);
  const more = failed.notices.filter(
    ({ severity, text }) => severity === 'mend' && text !== failed.error.text,
  ).length;
  if (more > 0) streams.err(`(${more} more to put right: "sheaflight check" lists all)\n`);
  return STOPPED.includes(failed.error.code) ? EXIT.stopped : EXIT.wrong_input;
}
