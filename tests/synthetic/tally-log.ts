/** The tally log: one row a second with paddles and dark time, made from the same edges and fixes as the tick log. */
import type { BeamEdgeEvents } from './beam-edges.ts';
import { type Drive, STEP_S } from './drive.ts';
import type { ReceivedFix } from './receiver.ts';
import type { MachineSpec } from './scene-spec.ts';

/** The same signals as the tick log's, true seconds from the log's start. */
export interface TallyInput {
  readonly edges: BeamEdgeEvents;
  readonly fixes: readonly ReceivedFix[];
  readonly drive: Drive;
  readonly shown_pct: Float64Array;
  readonly start_utc_ms: number;
}

/** CSV; a row's interval is the second that ends at its time. Header 0 up, 1 down. */
export function tallyText(input: TallyInput, machine: MachineSpec): string {
  const { edges, fixes, drive, shown_pct, start_utc_ms } = input;
  const rows = ['time,paddles,dark_ms,moisture_pct,header,lat,lon,speed_m_s,course_deg'];
  let next = 0;
  let dark = 0;
  const seconds = Math.floor((drive.steps - 1) * STEP_S);
  for (let second = 1; second <= seconds; second++) {
    let paddles = 0;
    let dark_s = 0;
    let from_s = second - 1;
    while (next < edges.t_s.length && edges.t_s[next] < second) {
      if (dark === 1) dark_s += edges.t_s[next] - from_s;
      if (dark === 1 && edges.dark[next] === 0) paddles++;
      from_s = edges.t_s[next];
      dark = edges.dark[next++];
    }
    if (dark === 1) dark_s += second - from_s;
    const k = Math.round(second / STEP_S);
    const fix = fixes[second * machine.receiver.rate_hz];
    rows.push(
      [
        new Date(start_utc_ms + second * 1000).toISOString(),
        paddles,
        (dark_s * 1000).toFixed(2),
        machine.logger.moisture && !Number.isNaN(shown_pct[k]) ? shown_pct[k].toFixed(2) : '',
        machine.logger.header_switch ? drive.headerDown[k] : '',
        fix.lonLat === undefined ? '' : fix.lonLat[1].toFixed(9),
        fix.lonLat === undefined ? '' : fix.lonLat[0].toFixed(9),
        fix.speed_m_s.toFixed(3),
        fix.speed_m_s > 0.15 ? fix.course_deg.toFixed(2) : '',
      ].join(','),
    );
  }
  return `${rows.join('\n')}\n`;
}
