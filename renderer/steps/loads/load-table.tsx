/** The loads of one fit, each with its errors, what is odd about it, and the switch that decides over it. */
import { Fragment } from 'react';
import type { CalibrationSummary, LoadSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { ticketsOf } from '../../session/load-tickets.ts';
import { scaleMass, withSign } from '../../text/quantities.ts';
import type { StepContext } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function LoadTable({
  fit,
  units,
  state,
  session,
}: StepContext & { readonly fit: CalibrationSummary }) {
  const { unit } = scaleMass(0, units);
  const selected = state.view.ticket;
  return (
    <div className="table-wrap">
      <table>
        <thead>
          <tr>
            <th scope="col">ticket</th>
            <th scope="col">scale, {unit}</th>
            <th scope="col">beam, {unit}</th>
            <th scope="col">error, %</th>
            <th scope="col" title="error of the load when the fit is made without it">
              left out, %
            </th>
            <th scope="col">use</th>
          </tr>
        </thead>
        <tbody>
          {fit.loads.map((load) => (
            <Fragment key={load.ticket}>
              <tr className={load.used ? '' : 'aside'} aria-selected={load.ticket === selected}>
                <th scope="row" className="keep">
                  <button
                    type="button"
                    className="plain"
                    aria-pressed={load.ticket === selected}
                    onClick={() => session.look({ ticket: load.ticket === selected ? null : load.ticket })}
                  >
                    <StateMark state={load.flagged ? 'look' : load.used ? 'good' : 'aside'} /> {load.ticket}
                  </button>
                </th>
                <td>{scaleMass(load.scale_kg, units).number}</td>
                <td>{scaleMass(load.predicted_kg, units).number}</td>
                <td>{withSign(load.error_pct, 1)}</td>
                <td>{withSign(load.loo_error_pct, 1)}</td>
                <td className="keep">
                  <input
                    type="checkbox"
                    aria-label={`Use ticket ${load.ticket} in the fit`}
                    checked={load.used}
                    onChange={({ target }) =>
                      void session.edit({ kind: 'set_load', ticket: load.ticket, use: target.checked })
                    }
                  />
                </td>
              </tr>
              {(load.why !== '' ||
                isDecided(load, state) ||
                isTried(load, state) ||
                isMoved(load, state) ||
                load.ticket === selected) && <WhyRow load={load} state={state} session={session} />}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function WhyRow({
  load,
  state,
  session,
}: Pick<StepContext, 'state' | 'session'> & { readonly load: LoadSummary }) {
  return (
    <tr className="why">
      <td colSpan={6}>
        {load.why}{' '}
        {isMoved(load, state) && (
          <>
            Its start and end were set by hand.{' '}
            <button
              type="button"
              className="plain"
              onClick={() =>
                void session.edit({ kind: 'set_load_span', tickets: ticketsOf(load.ticket), span: null })
              }
            >
              Reset: the ticket’s own times
            </button>{' '}
          </>
        )}
        {!isTried(load, state) && (
          <button
            type="button"
            className="plain"
            onClick={() => void session.try({ kind: 'set_load', ticket: load.ticket, use: !load.used })}
          >
            {load.used ? 'What if it were set aside?' : 'What if it were used?'}
          </button>
        )}{' '}
        <PreviewNote isOf={(edit) => edit.kind === 'set_load' && edit.ticket === load.ticket} />
        {isDecided(load, state) && (
          <button
            type="button"
            className="plain"
            onClick={() => void session.edit({ kind: 'set_load', ticket: load.ticket, use: null })}
          >
            Reset: let the program decide
          </button>
        )}
      </td>
    </tr>
  );
}

function isDecided({ ticket }: LoadSummary, { season }: StepContext['state']): boolean {
  return season?.document.settings?.calibration?.loads?.some((choice) => choice.ticket === ticket) ?? false;
}

function isMoved({ ticket }: LoadSummary, { season }: StepContext['state']): boolean {
  const tickets = ticketsOf(ticket);
  const spans = season?.document.settings?.calibration?.spans ?? [];
  return spans.some((span) => tickets.includes(span.ticket));
}

function isTried({ ticket }: LoadSummary, { tried }: StepContext['state']): boolean {
  return tried?.kind === 'set_load' && tried.ticket === ticket;
}
