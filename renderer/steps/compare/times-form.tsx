/** Treatments by the time at which they were cut: a time is chosen on the timeline and named. */
import { useId } from 'react';
import { comparisonsOf, type TimesDraft } from '../../session/comparisons.ts';
import { machineName } from '../../session/season-figures.ts';
import type { StepContext } from '../panel.tsx';

export function TimesForm({
  session,
  season,
  reply,
  state,
  times,
}: StepContext & { readonly times: TimesDraft }) {
  const comparisons = comparisonsOf(session);
  const id = useId();
  const { name, spans } = times;
  const chosen = state.view.span;
  const refusal = timesRefusal(
    times,
    (season.comparisons ?? []).map((one) => one.name),
  );
  const add = () => {
    if (chosen === null) return;
    const [from, to] = [
      momentOf(reply.epoch_utc_s + chosen.start_s),
      momentOf(reply.epoch_utc_s + chosen.end_s),
    ];
    comparisons.setTimes({ spans: [...spans, { treatment: '', from, to }] });
    session.look({ span: null });
  };
  return (
    <>
      <section>
        <div className="form-grid">
          <label htmlFor={`${id}-name`}>Comparison</label>
          <input
            id={`${id}-name`}
            type="text"
            value={name}
            onChange={({ target }) => comparisons.setTimes({ name: target.value })}
          />
        </div>
      </section>
      <section>
        <h3>Times</h3>
        {spans.map((span, k) => {
          const set = (change: Partial<typeof span>) =>
            comparisons.setTimes({ spans: spans.with(k, { ...span, ...change }) });
          const words = spanWords(span.from, span.to);
          return (
            <div key={`${span.from} ${span.to}`} className="cost">
              <div className="row">
                <span>{words}</span>
                <button
                  type="button"
                  className="plain"
                  aria-label={`Remove ${words}`}
                  onClick={() => comparisons.setTimes({ spans: spans.toSpliced(k, 1) })}
                >
                  Remove
                </button>
              </div>
              <div className="form-grid">
                <label htmlFor={`${id}-${k}`}>Treatment</label>
                <input
                  id={`${id}-${k}`}
                  type="text"
                  value={span.treatment}
                  onChange={({ target }) => set({ treatment: target.value })}
                />
                {reply.machines.length > 1 && (
                  <>
                    <label htmlFor={`${id}-${k}-machine`}>Cut by</label>
                    <select
                      id={`${id}-${k}-machine`}
                      value={span.machine ?? ''}
                      onChange={({ target }) => {
                        const { machine: _, ...rest } = span;
                        const changed = target.value === '' ? rest : { ...rest, machine: target.value };
                        comparisons.setTimes({ spans: spans.with(k, changed) });
                      }}
                    >
                      <option value="">all machines</option>
                      {reply.machines.map((one) => (
                        <option key={one} value={one}>
                          {machineName(season, one)}
                        </option>
                      ))}
                    </select>
                  </>
                )}
              </div>
            </div>
          );
        })}
        <div className="row spaced">
          <button type="button" className="framed" disabled={chosen === null} onClick={add}>
            Take the time chosen on the timeline
          </button>
        </div>
        <p className="hint-line">
          {chosen === null
            ? 'Drag over the timeline below the map to choose a time.'
            : spanWords(
                momentOf(reply.epoch_utc_s + chosen.start_s),
                momentOf(reply.epoch_utc_s + chosen.end_s),
              )}
        </p>
      </section>
      <div className="tried at-foot">
        <p>{refusal ?? 'Nothing is kept yet.'}</p>
        <div className="row">
          <button
            type="button"
            className="main"
            disabled={refusal !== undefined}
            onClick={() => void comparisons.keepTimes()}
          >
            Keep and compare
          </button>
          <button type="button" className="framed" onClick={() => comparisons.leaveTimes()}>
            Leave
          </button>
        </div>
      </div>
    </>
  );
}

function timesRefusal({ name, spans }: TimesDraft, names: readonly string[]): string | undefined {
  if (spans.length === 0) return 'Choose the first time on the timeline.';
  if (name.trim() === '') return 'Name the comparison.';
  if (names.includes(name.trim()))
    return `There is a comparison ${name.trim()} already; choose another name.`;
  return spans.some(({ treatment }) => treatment.trim() === '')
    ? 'Name what was cut in every time.'
    : undefined;
}

/** `2026-09-28T17:20:05Z` */
function momentOf(utc_s: number): string {
  return new Date(Math.round(utc_s) * 1000).toISOString().replace('.000Z', 'Z');
}

/** In the time of whoever looks. */
function spanWords(from = '', to = ''): string {
  const [start, end] = [new Date(from), new Date(to)];
  const isSameDay = start.toDateString() === end.toDateString();
  const time = { hour: '2-digit', minute: '2-digit', second: '2-digit' } as const;
  const day = { day: 'numeric', month: 'short' } as const;
  const last = isSameDay
    ? end.toLocaleTimeString(undefined, time)
    : end.toLocaleString(undefined, { ...day, ...time });
  return `${start.toLocaleString(undefined, { ...day, ...time })} to ${last}`;
}
