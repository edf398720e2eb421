/** Placement worksheet: measures on the left, where to mark and drill on the right, at once. */
import { placementSheet } from '../../core/export/sheets/placement-sheet.ts';
import { type Placement, type PlacementSheet, placementOf } from '../../core/install/placement.ts';
import { StateMark } from '../app/figure.tsx';
import { capitalised } from '../text/words.ts';
import { ENTRY_WORDS } from './entry-words.ts';
import { type EntryKey, placementFrom, type Read } from './fitting.ts';
import { MeasureEntry } from './measure-entry.tsx';
import { PlacementResult } from './placement-result.tsx';
import { SheetActions } from './sheet-actions.tsx';
import type { FirstAcreContext } from './use-first-acre.ts';

const NEEDED: readonly EntryKey[] = ['columnDepth', 'columnWidth', 'pitch', 'thickness'];

export function PlacementPart({ context }: { readonly context: FirstAcreContext }) {
  const { fitting, units, type, change } = context;
  const read = placementFrom(fitting, units);
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
  return (
    <div className="fit-columns">
      <form className="fit-measures" aria-label="Measures" onSubmit={(event) => event.preventDefault()}>
        <fieldset>
          <legend>
            Column and paddles <span className="unit">needed</span>
          </legend>
          {entriesOf(NEEDED)}
        </fieldset>
        <fieldset>
          <legend>How high you can work</legend>
          {entriesOf(fitting.isBlind ? ['reachOutside'] : ['reachOutside', 'reachInside'])}
          <label className="switch">
            <input
              type="checkbox"
              checked={fitting.isBlind}
              onChange={({ target }) => change({ isBlind: target.checked })}
            />
            The inner side cannot be reached
          </label>
          {entriesOf(['freeFrom', 'shafts'])}
        </fieldset>
        <fieldset>
          <legend>Where you know them</legend>
          {entriesOf(['chainFromBack', 'chainThickness', 'paddleWidth', 'paddleDepth', 'beam', 'chainSpeed'])}
        </fieldset>
      </form>
      <Found read={read} context={context} />
    </div>
  );
}

function Found({
  read,
  context,
}: {
  readonly read: Read<PlacementSheet>;
  readonly context: FirstAcreContext;
}) {
  if (read.is === 'open') return <StillOpen missing={read.missing} wrong={read.wrong} what="The marks" />;
  const placed = placementOf(read.measures);
  if (!placed.ok)
    return (
      <section className="fit-found" aria-label="Marks">
        <p className="fit-answer" role="status">
          <StateMark state="mend" /> {placed.error.text}
        </p>
      </section>
    );
  return <Placed placement={placed.value} measures={read.measures} context={context} />;
}

interface PlacedProps {
  readonly placement: Placement;
  readonly measures: PlacementSheet;
  readonly context: FirstAcreContext;
}

function Placed({ placement, measures, context }: PlacedProps) {
  const { units, machineName, machine, session } = context;
  const { beam_sheet } = placement;
  return (
    <section className="fit-found" aria-label="Marks">
      <PlacementResult placement={placement} measures={measures} units={units} />
      <SheetActions
        what="worksheet and template"
        fileName="placement.html"
        context={context}
        textOf={(paper) => placementSheet(placement, measures, { machine: machineName, units, paper })}
        bodyOf={(paper) => ({ kind: 'placement', machine: machineName, units, paper, measures })}
      >
        {machine !== undefined && (
          <button
            type="button"
            className="framed"
            disabled={JSON.stringify(machine.beam) === JSON.stringify({ ...machine.beam, ...beam_sheet })}
            onClick={() =>
              void session.edit({ kind: 'change_machine', id: machine.id, change: { beam: beam_sheet } })
            }
          >
            Enter the beam’s place for {machine.name}
          </button>
        )}
      </SheetActions>
    </section>
  );
}

interface StillOpenProps {
  readonly what: string;
  readonly missing: readonly EntryKey[];
  readonly wrong: readonly EntryKey[];
}

export function StillOpen({ what, missing, wrong }: StillOpenProps) {
  const list = (keys: readonly EntryKey[]) =>
    keys.map((key) => ENTRY_WORDS[key].label.toLowerCase()).join(', ');
  return (
    <section className="fit-found" aria-label={capitalised(what)}>
      <p className="fit-answer" role="status">
        {missing.length > 0 && `${what} stand here as soon as these are given: ${list(missing)}. `}
        {wrong.length > 0 && `Not understood yet: ${list(wrong)}.`}
      </p>
    </section>
  );
}
