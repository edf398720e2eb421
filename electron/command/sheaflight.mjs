#!/usr/bin/env node
// Starts the built command. It is plain JavaScript and committed, so that `npx sheaflight` says what to do before a build.
import { existsSync } from 'node:fs';

const built = new URL('../../dist/electron/command/main.js', import.meta.url);

if (existsSync(built)) {
  try {
    const { main } = await import(built.href);
    process.exitCode = await main(process.argv.slice(2));
  } catch (caught) {
    process.stderr.write(
      `sheaflight is built incompletely: run "npm run build" in its folder, then try again. (${caught.message})\n`,
    );
    process.exitCode = 3;
  }
} else {
  process.stderr.write('sheaflight is not built yet: run "npm run build" in its folder, then try again.\n');
  process.exitCode = 2;
}
