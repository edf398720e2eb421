/** Which flows the loads speak for, what lies outside, how many loads are enough and which the next should be. */
import { EnoughLoads } from '../../charts/enough-loads.tsx';
import { flowBins, outsideRows } from '../../charts/flow-cover.ts';
import { FlowCoverChart } from '../../charts/flow-cover-chart.tsx';
import { decimal } from '../../text/quantities.ts';
import type { FitContext } from './fit-section.tsx';

export function NextLoads({ fit, units, state, session, reply, points }: FitContext) {
  const { diagnostics } = fit;
  if (diagnostics === undefined) return null;
  const machine = reply.machines.indexOf(fit.machine);
  const fields = [...(state.built?.points.values() ?? [])].filter(({ crop }) => crop === fit.crop);
  const bins = flowBins(fields, machine);
  const covered = diagnostics.covered_flow_kg_s;
  const outside =
    points !== undefined && points.crop === fit.crop && covered !== null
      ? outsideRows(points, machine, covered)
      : null;
  return (
    <>
      {bins !== null && <FlowCoverChart bins={bins} diagnostics={diagnostics} units={units} />}
      {covered !== null && (
        <p className="estimate">
          {decimal(diagnostics.outside_points_pct, 0)} % of the points lie outside; there the fitted line is
          drawn on beyond its loads.{' '}
          {outside !== null && (
            <button
              type="button"
              className="plain"
              onClick={() => session.look({ selection: outside, thread: null })}
            >
              Show them on the map
            </button>
          )}
        </p>
      )}
      <EnoughLoads steps={diagnostics.enough_loads} />
    </>
  );
}
