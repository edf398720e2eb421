/** Every reader that is fuzzed. */
import type { FuzzTarget } from './fuzz-target.ts';
import { LOG_TARGETS } from './targets/log-targets.ts';
import { TEXT_TARGETS } from './targets/text-targets.ts';

export const TARGETS: readonly FuzzTarget[] = [...LOG_TARGETS, ...TEXT_TARGETS];
