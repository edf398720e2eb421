/** What a log told: the verdict, findings with their evidence, and what could not be judged. */
import { checkSheet } from '../../core/export/sheets/check-sheet.ts';
import { evidencePlot } from '../../core/export/sheets/evidence-plot.ts';
import type { BeamCheckReply } from '../../core/host-contract.ts';
import { causeWords } from '../../core/install/causes.ts';
import type { Finding } from '../../core/install/finding.ts';
import { StateMark } from '../app/figure.tsx';
import { decimal } from '../text/quantities.ts';
import { counted } from '../text/words.ts';
import { Drawing } from './drawing.tsx';
import { SheetActions } from './sheet-actions.tsx';
import type { FirstAcreContext } from './use-first-acre.ts';

interface CheckResultProps {
  readonly judged: BeamCheckReply;
  readonly context: FirstAcreContext;
}

export function CheckResult({ judged, context }: CheckResultProps) {
  const { check, generated_by, record } = judged;
  const { machineName } = context;
  const { extent } = check;
  return (
    <>
      <section>
        <p className={`fit-verdict ${check.verdict}`} role="status">
          <StateMark state={check.verdict} /> {check.summary}
        </p>
        <p className="quiet">
          From {check.source}: {counted(extent.by_hand_paddles, 'paddle')} turned by hand,{' '}
          {decimal(extent.under_power_s, 0)} s under power, {counted(extent.lines, 'line')}.
        </p>
        {check.causes.length > 0 && (
          <>
            <h3>Most likely, over all findings</h3>
            <ol className="fit-causes">
              {check.causes.slice(0, 4).map((cause) => (
                <li key={cause}>{causeWords(cause)}</li>
              ))}
            </ol>
          </>
        )}
      </section>
      <section>
        <h2>Findings</h2>
        {check.findings.map((finding) => (
          <FindingRow key={finding.code} finding={finding} />
        ))}
      </section>
      {check.not_judged.length > 0 && (
        <section>
          <h2>Could not be judged</h2>
          <ul className="fit-remarks">
            {check.not_judged.map(({ code, title, why }) => (
              <li key={code}>
                <b>{title}</b>: {why}.
              </li>
            ))}
          </ul>
        </section>
      )}
      <SheetActions
        what="the commissioning record"
        fileName="beam-check.html"
        context={context}
        textOf={(paper) => checkSheet(check, { machine: machineName, paper, generated_by })}
        bodyOf={(paper) => ({ kind: 'record', machine: machineName, paper, record })}
      >
        <button type="button" className="framed" onClick={() => context.change({ judged: null })}>
          Another log
        </button>
      </SheetActions>
    </>
  );
}

function FindingRow({ finding }: { readonly finding: Finding }) {
  const { title, verdict, figure, evidence, causes, todo } = finding;
  return (
    <article className={`fit-finding ${verdict}`}>
      <div>
        <h3>
          <StateMark state={verdict} /> {title}
        </h3>
        <p>{figure}</p>
        {causes.length > 0 && (
          <>
            <p className="quiet">Likely, in this order:</p>
            <ol className="fit-causes">
              {causes.map((cause) => (
                <li key={cause}>{causeWords(cause)}</li>
              ))}
            </ol>
          </>
        )}
        {todo !== '' && (
          <p>
            <b>Do:</b> {todo}
          </p>
        )}
      </div>
      {evidence !== undefined && <Drawing markup={evidencePlot(evidence)} />}
    </article>
  );
}
