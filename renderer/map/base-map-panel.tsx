/** Chooses the map under the fields: none, a tile archive on this computer, or a tile server of the user's own. */
import { type FormEvent, useState } from 'react';
import { type BaseMapChoice, tileOrigin } from '../../core/base-map.ts';

interface PanelProps {
  readonly chosen: BaseMapChoice | null;
  /** Why the chosen one cannot be shown; null when it can. */
  readonly problem: string | null;
  /** Keeps the choice; a sentence when it is refused. */
  readonly onChoose: (choice: BaseMapChoice | null) => Promise<string | null>;
  readonly onClose: () => void;
}

type Kind = 'none' | BaseMapChoice['kind'];

const KINDS: readonly { readonly kind: Kind; readonly words: string }[] = [
  { kind: 'none', words: 'None: coasts and borders only, no network' },
  { kind: 'file', words: 'A PMTiles file on this computer' },
  { kind: 'address', words: 'A tile server, by its address' },
];

export function BaseMapPanel({ chosen, problem, onChoose, onClose }: PanelProps) {
  const [kind, setKind] = useState<Kind>(chosen?.kind ?? 'none');
  const [at, setAt] = useState(chosen?.at ?? '');
  const [attribution, setAttribution] = useState(chosen?.attribution ?? '');
  const [refusal, setRefusal] = useState(problem);
  const origin = kind === 'address' ? tileOrigin(at) : undefined;
  const keep = async (event: FormEvent) => {
    event.preventDefault();
    const refused = await onChoose(
      kind === 'none' ? null : { kind, at: at.trim(), attribution: attribution.trim() },
    );
    setRefusal(refused);
    if (refused === null) onClose();
  };
  return (
    <form className="base-map-panel" aria-label="Map under the fields" onSubmit={(event) => void keep(event)}>
      <h3>Map under the fields</h3>
      {KINDS.map((one) => (
        <label key={one.kind} className="choice">
          <input
            type="radio"
            name="base-map"
            checked={kind === one.kind}
            onChange={() => {
              setKind(one.kind);
              setRefusal(null);
            }}
          />
          {one.words}
        </label>
      ))}
      {kind !== 'none' && (
        <>
          <label>
            {kind === 'file' ? 'Whole path of the file' : 'Address, with {z}, {x} and {y}'}
            <input
              type="text"
              value={at}
              spellCheck={false}
              placeholder={
                kind === 'file' ? '/maps/county.pmtiles' : 'https://tiles.example.org/{z}/{x}/{y}.png'
              }
              onChange={(event) => setAt(event.target.value)}
            />
          </label>
          <label>
            Whom the map is owed to
            <input type="text" value={attribution} onChange={(event) => setAttribution(event.target.value)} />
          </label>
        </>
      )}
      {kind === 'address' && (
        <p className="asks">
          The program then asks {origin === undefined ? 'that server' : <b>{origin}</b>} for pictures of the
          places you look at, so that server learns where your fields are. Nothing else is sent, and nothing
          at all without this choice. The window loads again once.
        </p>
      )}
      {refusal !== null && (
        <p role="alert" className="boundary-fault">
          {refusal}
        </p>
      )}
      <div className="boundary-buttons">
        <button type="submit" className="main" disabled={kind !== 'none' && at.trim() === ''}>
          Use
        </button>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </form>
  );
}
