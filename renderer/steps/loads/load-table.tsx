/** The loads of one fit, each with its errors, what is odd about it, and the switch that decides over it. */
import { Fragment, useState } from 'react';
import { exchangedWith } from '../../../core/calibrate/load-remark.ts';
import type { CalibrationSummary, LoadSummary } from '../../../core/result.ts';
import { StateMark } from '../../app/figure.tsx';
import { exchangeEdit } from '../../session/exchange-edit.ts';
import { ticketsOf } from '../../session/load-tickets.ts';
import { decimal, scaleMass, withSign } from '../../text/quantities.ts';
import { type StepContext, Switch } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';

export function LoadTable({
  fit,
  units,
  state,
  session,
  reply,
}: StepContext & { readonly fit: CalibrationSummary }) {
  const { unit } = scaleMass(0, units);
  const selected = state.view.ticket;
  const [shown, setShown] = useState<'weights' | 'influence'>('weights');
  const isInfluence = shown === 'influence';
  return (
    <div className="table-wrap">
      <Switch
        label="Residual, leverage and influence"
        isOn={isInfluence}
        onChange={(isOn) => setShown(isOn ? 'influence' : 'weights')}
      />
      <table>
        <thead>
          <tr>
            <th scope="col">ticket</th>
            {!isInfluence && (
              <>
                <th scope="col">scale, {unit}</th>
                <th scope="col">beam, {unit}</th>
                <th scope="col">error, %</th>
              </>
            )}
            <th scope="col" title="error of the load when the fit is made without it">
              left out, %
            </th>
            {isInfluence && (
              <>
                <th scope="col" title="error left out over its own standard error; beyond 3 is suspicious">
                  studen&shy;tised
                </th>
                <th scope="col" title="how much the load pulls the fit to itself, 0 to 1">
                  leverage
                </th>
                <th scope="col" title="how far the fit moves without it; beyond 1 is much">
                  Cook’s
                </th>
              </>
            )}
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
                {!isInfluence && (
                  <>
                    <td>{scaleMass(load.scale_kg, units).number}</td>
                    <td>{scaleMass(load.predicted_kg, units).number}</td>
                    <td>{withSign(load.error_pct, 1)}</td>
                  </>
                )}
                <td>{withSign(load.loo_error_pct, 1)}</td>
                {isInfluence && (
                  <>
                    <td>{withSign(load.studentised_residual, 1)}</td>
                    <td>{decimal(load.leverage, 2)}</td>
                    <td>{decimal(load.cooks_distance, 2)}</td>
                  </>
                )}
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
                load.ticket === selected) && (
                <WhyRow load={load} units={units} state={state} session={session} reply={reply} />
              )}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** As many whichever figures are shown. */
const COLUMNS = 6;

function WhyRow({
  load,
  units,
  state,
  session,
  reply,
}: Pick<StepContext, 'state' | 'session' | 'units' | 'reply'> & {
  readonly load: LoadSummary;
}) {
  const other = exchangedWith(load.why);
  const exchange =
    other === undefined ? null : exchangeEdit([load.ticket, other], reply.loads, reply.epoch_utc_s);
  return (
    <tr className="why">
      <td colSpan={COLUMNS}>
        {load.why} {expectation(load, units)}{' '}
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
        {exchange !== null && (
          <button type="button" className="plain" onClick={() => void session.try(exchange)}>
            Exchange it with {other}
          </button>
        )}{' '}
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

/** What the other loads expect of this one, in the scale's unit. */
function expectation({ expected_95_kg }: LoadSummary, units: StepContext['units']): string {
  if (expected_95_kg === null || expected_95_kg === undefined) return '';
  const [low, high] = expected_95_kg.map((mass_kg) => scaleMass(mass_kg, units));
  return `The others expect ${low.number} to ${high.number} ${high.unit} (95 %).`;
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
