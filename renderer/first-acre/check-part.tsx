/** Beam check: how to take the log, what is known of the paddles, the log itself, and what was found. */
import { useState } from 'react';
import { tryOutStep } from '../../core/install/fitting-steps.ts';
import { DropFiles } from '../app/drop-files.tsx';
import { StateMark } from '../app/figure.tsx';
import { HostTrouble } from '../host-client/host-client.ts';
import { CheckResult } from './check-result.tsx';
import { checkMeasuresFrom, type EntryKey } from './fitting.ts';
import { MeasureEntry } from './measure-entry.tsx';
import { StillOpen } from './placement-part.tsx';
import type { FirstAcreContext } from './use-first-acre.ts';

const NEEDED: readonly EntryKey[] = ['pitch', 'thickness'];
const MORE: readonly EntryKey[] = ['counted', 'paddles', 'beam', 'chainSpeed'];

export function CheckPart({ context }: { readonly context: FirstAcreContext }) {
  const { fitting, units, type, season, session, change } = context;
  const [state, setState] = useState<{ readonly reading?: string; readonly trouble?: string }>({});
  const read = checkMeasuresFrom(fitting, units);
  const judge = async (log: File | string) => {
    if (read.is === 'open') {
      setState({ trouble: 'Give the paddles’ measures first: a beam can only be judged against them.' });
      return;
    }
    const { measures } = read;
    setState({ reading: typeof log === 'string' ? log : log.name });
    try {
      const judged =
        typeof log === 'string'
          ? await session.host.call(
              'checkSeasonLog',
              { season: season?.season ?? '' },
              { path: log, measures },
            )
          : await session.host.checkLog(log, measures);
      change({ judged });
      setState({});
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      setState({ trouble: caught.reply.text });
    }
  };
  const logs = season?.document.logs.flatMap(({ files }) => files) ?? [];
  const entriesOf = (keys: readonly EntryKey[]) =>
    keys.map((key) => (
      <MeasureEntry
        key={key}
        entry={key}
        text={fitting.entries[key] ?? ''}
        units={units}
        isNeeded={NEEDED.includes(key)}
        onType={(text) => type(key, text)}
      />
    ));
  const isReady = read.is === 'ready' && state.reading === undefined;
  return (
    <div className="fit-columns">
      <form className="fit-measures" aria-label="Measures" onSubmit={(event) => event.preventDefault()}>
        <fieldset>
          <legend>
            Paddles <span className="unit">needed</span>
          </legend>
          {entriesOf(NEEDED)}
        </fieldset>
        <fieldset>
          <legend>The log</legend>
          <label className={isReady ? 'fit-file' : 'fit-file waits'}>
            <input
              type="file"
              disabled={!isReady}
              onChange={({ target }) => {
                const [file] = target.files ?? [];
                if (file !== undefined) void judge(file);
                target.value = '';
              }}
            />
            <span>Choose a log, or drop it on the window</span>
          </label>
          {logs.length > 0 && (
            <label className="fit-log">
              Or one of the season’s
              <select value="" disabled={!isReady} onChange={({ target }) => void judge(target.value)}>
                <option value="">choose …</option>
                {logs.map((path) => (
                  <option key={path} value={path}>
                    {path}
                  </option>
                ))}
              </select>
            </label>
          )}
          <p role="status">
            {state.reading !== undefined && `Reading ${state.reading} …`}
            {state.trouble !== undefined && (
              <>
                <StateMark state="mend" /> {state.trouble}
              </>
            )}
          </p>
        </fieldset>
        <fieldset>
          <legend>Where you know them</legend>
          {entriesOf(MORE)}
        </fieldset>
      </form>
      <section className="fit-found" aria-label="Findings">
        {fitting.judged !== null ? (
          <CheckResult judged={fitting.judged} context={context} />
        ) : (
          <>
            {read.is === 'open' && <StillOpen what="Findings" missing={read.missing} wrong={read.wrong} />}
            <TakeTheLog />
          </>
        )}
      </section>
      <DropFiles words="Drop the log here" onFiles={([first]) => void judge(first)} />
    </div>
  );
}

/** Cautions first. */
function TakeTheLog() {
  const { cautions, doings } = tryOutStep();
  return (
    <section>
      <h2>Take a short log</h2>
      {cautions.map((caution) => (
        <p key={caution} className="fit-caution">
          <StateMark state="mend" /> {caution}
        </p>
      ))}
      <ol className="fit-steps">
        {doings.map((doing) => (
          <li key={doing}>
            <p>{doing}</p>
          </li>
        ))}
      </ol>
    </section>
  );
}
