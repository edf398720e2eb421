/** One of a few, as radio buttons under a heading. */

interface ChoicesProps<T extends string> {
  readonly legend: string;
  readonly held: T;
  readonly of: readonly (readonly [T, string])[];
  readonly onChoose: (choice: T) => void;
  /** Why there is nothing to choose now; absent: there is. */
  readonly aside?: string;
}

export function Choices<T extends string>({ legend, held, of, onChoose, aside }: ChoicesProps<T>) {
  return (
    <fieldset className="choice-list" disabled={aside !== undefined}>
      <legend>{legend}</legend>
      {of.map(([choice, words]) => (
        <label key={choice} className="switch">
          <input type="radio" name={legend} checked={held === choice} onChange={() => onChoose(choice)} />
          {words}
        </label>
      ))}
      {aside !== undefined && <p className="hint-line">{aside}</p>}
    </fieldset>
  );
}
