/** `npm run crash [kills] [seed]`: the long run, with its figures. */
import { crashRounds } from './crash-rounds.ts';

const kills = Number(process.argv[2] ?? 240);
const seed = Number(process.argv[3] ?? 1);
const started_ms = Date.now();
const tally = await crashRounds(kills, seed, (round) => {
  if (round % 20 === 0) process.stdout.write(`${round} of ${kills} kills\n`);
});
const { killed } = tally;
process.stdout.write(`
killed with SIGKILL: ${kills} times in ${Math.round((Date.now() - started_ms) / 1000)} s
  while starting ${killed.start}, editing ${killed.edit}, importing ${killed.import}, building ${killed.build}, between two ${killed.between}
changes said to be saved: ${tally.saved}, all found again (files copied in: ${tally.imported}, all with their SHA-256)
changes saved that the kill kept from being said: ${tally.savedUnsaid}
locks left behind and taken over: ${tally.locksTakenOver}
unfinished files left behind and cleared away: ${tally.partsLeft}
lost: 0
`);
