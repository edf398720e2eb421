/** Screened: which points say little about the crop and why; every rule with its count, its kilograms and its numbers. */
import { SCREENING_RULES } from '../../../core/result.ts';
import { RULES } from '../../../core/screen/rules.ts';
import type { ScreeningRule } from '../../../core/season.ts';
import { Figure } from '../../app/figure.tsx';
import { ScreeningBars } from '../../charts/screening-bars.tsx';
import { shortNumber } from '../../session/difference.ts';
import { screenedBy } from '../../session/season-figures.ts';
import { chooseThread, ruleOfThread, threadOfRule } from '../../session/threads.ts';
import { decimal, grainMass, percentOf } from '../../text/quantities.ts';
import { capitalised, keyWords, ruleWords } from '../../text/words.ts';
import { NumberEntry, Panel, type StepContext, Switch } from '../panel.tsx';
import { PreviewNote } from '../preview-note.tsx';
import { LeftOutByHand } from './left-out-by-hand.tsx';

export function ScreenedPanel(context: StepContext) {
  const { field, summary, season, session, state, units } = context;
  const ledger = summary.mass_ledger.filter((row) => row.field === field.name);
  const beam_kg = ledger.reduce((sum, row) => sum + row.beam_kg, 0);
  const screened_kg = ledger.reduce(
    (sum, row) => sum + Object.values(row.screened_kg).reduce((all, kg) => all + kg, 0),
    0,
  );
  const isChanged = season.settings?.screening !== undefined;
  return (
    <Panel
      title="Screened"
      finding={`${decimal(field.points.total - field.points.kept, 0)} of ${decimal(field.points.total, 0)} points in ${field.name} are left off the map; with them goes ${percentOf(beam_kg > 0 ? screened_kg / beam_kg : null).number} % of the grain, which still counts in the totals.`}
      meaning={
        <p>
          Points are never deleted. The first rule in this order that catches a point gives the reason; the
          total of a field is all grain cut in it over all ground cut in it, whatever is screened here.
        </p>
      }
    >
      <ScreeningBars
        counts={SCREENING_RULES.map((rule) => ({
          rule,
          points: field.points.screened[rule] ?? 0,
          mass_kg: screenedBy(ledger, rule),
        }))}
        total_points={field.points.total}
        total_kg={beam_kg}
        units={units}
        show="points"
        selectedRule={ruleOfThread(state.view.thread)}
        onSelectRule={(rule) => chooseThread(session, rule === null ? null : threadOfRule(rule))}
      />
      <div>
        {SCREENING_RULES.map((rule) => (
          <Rule key={rule} rule={rule} {...context} />
        ))}
      </div>
      <div className="row">
        <button
          type="button"
          className="framed"
          disabled={!isChanged}
          onClick={() => void session.edit({ kind: 'reset_rules' })}
        >
          Use the recommended set
        </button>
        <span className="quiet">
          {isChanged
            ? 'Every rule on, with its default numbers.'
            : 'In use: every rule with its default numbers.'}
        </span>
      </div>
      <LeftOutByHand {...context} />
    </Panel>
  );
}

function Rule({
  rule,
  field,
  summary,
  season,
  session,
  units,
  bushel_kg,
}: StepContext & { readonly rule: ScreeningRule }) {
  const sheet = season.settings?.screening?.[rule];
  const definition = RULES[rule];
  const numbers = Object.entries(definition.numbers) as [string, number][];
  const isOn = sheet?.on !== false;
  const ledger = summary.mass_ledger.filter((row) => row.field === field.name);
  const change = (patch: Readonly<Record<string, number | boolean | null>>) =>
    void session.edit({ kind: 'set_rule', rule, change: patch });
  return (
    <div className="rule">
      <div className="line">
        <Switch
          label={capitalised(ruleWords(rule))}
          isOn={isOn}
          onChange={(on) => change({ on: on ? null : false })}
        />
        <span className={isOn ? '' : 'quiet'}>{decimal(field.points.screened[rule] ?? 0, 0)}</span>
        <Figure of={grainMass(screenedBy(ledger, rule), bushel_kg, units)} />
      </div>
      <details>
        <summary>Why{numbers.length > 0 ? ', and its numbers' : ''}</summary>
        <div className="inside">
          <p>{definition.why}</p>
          {numbers.map(([key, fallback]) => {
            const { words, unit } = keyWords(key);
            const held = sheet?.[key];
            return (
              <div key={key}>
                <NumberEntry
                  label={capitalised(words)}
                  unit={unit}
                  entered={typeof held === 'number' ? held : undefined}
                  fallback={fallback}
                  onEnter={(number) => change({ [key]: number })}
                  onDraft={(number) =>
                    number === null
                      ? session.leavePreview()
                      : void session.try({ kind: 'set_rule', rule, change: { [key]: number } })
                  }
                />{' '}
                <span className="quiet">default {shortNumber(fallback)}</span>
              </div>
            );
          })}
          <PreviewNote isOf={(edit) => edit.kind === 'set_rule' && edit.rule === rule} />
          <p className="quiet">Default from: {definition.source}.</p>
        </div>
      </details>
    </div>
  );
}
