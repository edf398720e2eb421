/** Reports to hand on: of fields, of the season; to look at in the window, to print, to mail. */
import { useEffect, useRef } from 'react';
import type { ReportChoice, ReportFormat } from '../../../core/export/report-choice.ts';
import { REPORT_FORMATS } from '../../../core/export/report-choice.ts';
import { StateMark } from '../../app/figure.tsx';
import { isPage, reportsOf, useReports } from '../../session/reports.ts';
import { decimal } from '../../text/quantities.ts';
import { capitalised, counted } from '../../text/words.ts';
import type { StepContext } from '../panel.tsx';
import { Choices } from './choices.tsx';
import { sizeOf, toggled } from './export-words.ts';
import { JobRunning } from './job-running.tsx';

const FORMAT_WORDS: Readonly<Record<ReportFormat, string>> = {
  html: 'HTML: a page in one file, to look at here and to mail',
  pdf: 'PDF: to print and to hand over',
};

export function ReportFiles({ summary, session, state, units, field }: StepContext) {
  const { choice, isMaking, job, made, isStopped, trouble, preview } = useReports(state.season?.season);
  const reports = reportsOf(session);
  const names = summary.fields.map(({ name }) => name);
  const system = choice.units ?? units;
  const paper = choice.paper ?? (system === 'us' ? 'letter' : 'a4');
  const refusal = reportRefusal(choice, state.preview !== null);
  // the one field is that on the map, also when another has come there since
  const fields = fieldsHeld(choice) === 'one' ? [field.name] : choice.fields;
  const asked = { ...choice, fields, units: system };
  const list = useRef<HTMLDivElement>(null);
  // what was made comes into view, once: the panel is longer than the window
  const shown = useRef(made);
  useEffect(() => {
    if (made !== null && made !== shown.current) list.current?.scrollIntoView({ block: 'center' });
    shown.current = made;
  }, [made]);
  const stage = job?.stage ? capitalised(job.stage) : 'Waiting';
  return (
    <section aria-label="Reports">
      <h3>
        Reports <span className="quiet">two to four pages to hand on</span>
      </h3>
      <fieldset className="choice-list">
        <legend className="unseen">Reports of</legend>
        {(
          [
            ['all', `Every field (${names.length})`],
            ['one', `${field.name}, the field on the map`],
            ['none', 'No field'],
          ] as const
        ).map(([which, words]) => (
          <label key={which} className="switch">
            <input
              type="radio"
              name="report-fields"
              checked={fieldsHeld(choice) === which}
              onChange={() =>
                reports.choose({ fields: which === 'all' ? 'all' : which === 'one' ? [field.name] : [] })
              }
            />
            {words}
          </label>
        ))}
        <label className="switch">
          <input
            type="checkbox"
            checked={choice.season}
            onChange={({ target }) => reports.choose({ season: target.checked })}
          />
          <span>
            The season: <span className="quiet">all fields in one report</span>
          </span>
        </label>
      </fieldset>
      <fieldset className="choice-list spaced">
        <legend>As</legend>
        {REPORT_FORMATS.map((format) => (
          <label key={format} className="switch">
            <input
              type="checkbox"
              checked={choice.formats.includes(format)}
              onChange={({ target }) =>
                reports.choose({ formats: toggled(choice.formats, format, target.checked) })
              }
            />
            {FORMAT_WORDS[format]}
          </label>
        ))}
      </fieldset>
      <details>
        <summary>
          {system === 'us' ? 'US units' : 'Metric units'}
          {choice.formats.includes('pdf') && `, ${paper === 'a4' ? 'A4' : 'Letter'}`}, maps of the{' '}
          {choice.map === 'swaths' ? 'swaths' : 'surface'}
        </summary>
        <div className="choices-apart">
          <Choices
            legend="Units of the reports"
            held={system}
            onChoose={(chosen) => reports.choose({ units: chosen })}
            of={[
              ['us', 'US: bushels, acres'],
              ['metric', 'Metric: tonnes, hectares'],
            ]}
          />
          <Choices
            legend="Paper"
            held={paper}
            onChoose={(paper) => reports.choose({ paper })}
            of={[
              ['letter', 'Letter'],
              ['a4', 'A4'],
            ]}
            aside={choice.formats.includes('pdf') ? undefined : 'HTML fits both.'}
          />
          <Choices
            legend="Maps in the reports"
            held={choice.map ?? 'surface'}
            onChoose={(map) => reports.choose({ map })}
            of={[
              ['surface', 'Surface: cells with what lies between passes'],
              ['swaths', 'Swaths: what was cut, as it was cut'],
            ]}
          />
        </div>
      </details>
      <div className="spaced">
        {isMaking ? (
          <JobRunning stage={stage} job={job} onStop={() => void reports.stop()} />
        ) : (
          <div className="row">
            <button
              type="button"
              className="main"
              disabled={refusal !== undefined}
              onClick={() => void reports.make(asked)}
            >
              {choice.season || fieldsHeld(choice) === 'all' ? 'Make reports' : 'Make the report'}
            </button>
            {refusal !== undefined && <span className="quiet">{refusal}</span>}
          </div>
        )}
        {trouble !== null && (
          <p role="alert">
            <StateMark state="mend" /> {trouble}
          </p>
        )}
        {isStopped && <p role="status">Stopped; nothing was written.</p>}
      </div>
      {made !== null && state.season !== null && (
        <div ref={list} role="status" aria-label="Reports made">
          {made.notices.map(({ text, severity }) => (
            <p key={text}>
              <StateMark state={severity} /> {text}
            </p>
          ))}
          <ul className="written-files">
            {made.files.map(({ path, bytes }) => {
              const { number, digits, unit } = sizeOf(bytes);
              const address = session.host.fileAddress(state.season?.season ?? '', path);
              return (
                <li key={path}>
                  <span>
                    <ReportLink path={path} address={address} />{' '}
                    {isPage(path) && (
                      <button
                        type="button"
                        className="plain"
                        aria-pressed={preview?.path === path}
                        onClick={() => reports.look(preview?.path === path ? null : path)}
                      >
                        {preview?.path === path ? 'Shown' : 'Show'}
                      </button>
                    )}
                  </span>
                  <span className="number">
                    {decimal(number, digits)} <span className="unit">{unit}</span>
                  </span>
                </li>
              );
            })}
          </ul>
          <p className="estimate">
            {counted(made.files.length, 'file')} in {state.season.folder}/out
          </p>
        </div>
      )}
    </section>
  );
}

/** A browser opens a page beside; the program's own window opens no others, and hands it over to be saved. */
function ReportLink({ path, address }: { readonly path: string; readonly address: string }) {
  const opens = isPage(path) && location.protocol.startsWith('http');
  const how = opens ? { target: '_blank', rel: 'noreferrer' } : { download: nameOf(path) };
  return (
    <a href={address} {...how}>
      {nameOf(path)}
    </a>
  );
}

function fieldsHeld({ fields }: ReportChoice): 'all' | 'one' | 'none' {
  if (fields === 'all') return 'all';
  return fields.length === 0 ? 'none' : 'one';
}

function reportRefusal(choice: ReportChoice, isTrying: boolean): string | undefined {
  if (isTrying) return 'Keep or leave what you are trying first.';
  if (choice.formats.length === 0) return 'Choose HTML, PDF or both.';
  if (!choice.season && fieldsHeld(choice) === 'none') return 'Choose what to report.';
  return undefined;
}

function nameOf(path: string): string {
  return path.slice(path.lastIndexOf('/') + 1);
}
