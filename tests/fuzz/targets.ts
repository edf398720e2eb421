/** Every reader that is fuzzed. */
import type { FuzzTarget } from './fuzz-target.ts';
import { COMMAND_TARGETS } from './targets/command-targets.ts';
import { IMPORT_TARGETS } from './targets/import-targets.ts';
import { LOG_TARGETS } from './targets/log-targets.ts';
import { PACKED_TARGETS } from './targets/packed-targets.ts';
import { SEASON_TARGETS } from './targets/season-targets.ts';
import { TEXT_TARGETS } from './targets/text-targets.ts';

export const TARGETS: readonly FuzzTarget[] = [
  ...LOG_TARGETS,
  ...TEXT_TARGETS,
  ...PACKED_TARGETS,
  ...IMPORT_TARGETS,
  ...SEASON_TARGETS,
  ...COMMAND_TARGETS,
];
