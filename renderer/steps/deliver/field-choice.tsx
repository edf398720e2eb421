/** Which fields: all, or some by name; a long list can be searched. */
import { useState } from 'react';
import { toggled } from './export-words.ts';

interface FieldChoiceProps {
  readonly names: readonly string[];
  /** Null: all. */
  readonly chosen: readonly string[] | null;
  /** The field on the map. */
  readonly shown: string;
  readonly onChoose: (fields: readonly string[] | null) => void;
}

/** From so many fields on there is a box to search in. */
const MANY = 12;

export function FieldChoice({ names, chosen, shown, onChoose }: FieldChoiceProps) {
  const [search, setSearch] = useState('');
  const found = names.filter((name) => name.toLowerCase().includes(search.trim().toLowerCase()));
  return (
    <fieldset className="choice-list">
      <legend>Fields</legend>
      <label className="switch">
        <input type="radio" name="export-fields" checked={chosen === null} onChange={() => onChoose(null)} />
        {names.length === 1 ? names[0] : `All ${names.length} fields`}
      </label>
      {names.length > 1 && (
        <label className="switch">
          <input
            type="radio"
            name="export-fields"
            checked={chosen !== null}
            onChange={() => onChoose([shown])}
          />
          {chosen === null ? 'Some' : `Some: ${chosen.length} of ${names.length}`}
        </label>
      )}
      {chosen !== null && (
        <div className="some-fields">
          {names.length >= MANY && (
            <input
              type="text"
              aria-label="Search fields"
              placeholder="Search"
              value={search}
              onChange={({ target }) => setSearch(target.value)}
            />
          )}
          {found.map((name) => (
            <label key={name} className="switch">
              <input
                type="checkbox"
                checked={chosen.includes(name)}
                onChange={({ target }) => onChoose(toggled(chosen, name, target.checked))}
              />
              {name}
            </label>
          ))}
          {found.length === 0 && <p className="quiet">No field is called that.</p>}
        </div>
      )}
    </fieldset>
  );
}
