/** Fields of the season: crop, boundary, market moisture; a new one is named here. */
import { type FormEvent, useState } from 'react';
import { KNOWN_CROPS } from '../../../core/grain/crops.ts';
import type { FieldSheet } from '../../../core/season.ts';
import { useSession } from '../../session/use-session.ts';
import { NumberEntry } from '../panel.tsx';

export function FieldList({ fields }: { readonly fields: readonly FieldSheet[] }) {
  const session = useSession();
  return (
    <section>
      <h3>Fields</h3>
      {fields.map((field) => (
        <details key={field.name}>
          <summary>
            {field.name}{' '}
            <span className="quiet">
              {field.crop},{' '}
              {field.boundary === undefined ? 'no boundary: the field is what was cut' : field.boundary}
            </span>
          </summary>
          <div className="form-grid">
            <label htmlFor={`crop of ${field.name}`}>Crop</label>
            <select
              id={`crop of ${field.name}`}
              aria-label={`Crop of ${field.name}`}
              value={field.crop}
              onChange={({ target }) =>
                void session.edit({ kind: 'change_field', name: field.name, change: { crop: target.value } })
              }
            >
              {[...new Set([field.crop, ...KNOWN_CROPS.map(({ name }) => name)])].map((crop) => (
                <option key={crop}>{crop}</option>
              ))}
            </select>
            <label htmlFor={`variety of ${field.name}`}>Variety</label>
            <input
              id={`variety of ${field.name}`}
              type="text"
              aria-label={`Variety of ${field.name}`}
              key={field.variety ?? ''}
              defaultValue={field.variety ?? ''}
              onBlur={({ target }) => {
                const variety = target.value.trim();
                if (variety !== (field.variety ?? ''))
                  void session.edit({
                    kind: 'change_field',
                    name: field.name,
                    change: { variety: variety === '' ? null : variety },
                  });
              }}
            />
            <div className="measure">
              <NumberEntry
                label="Standard moisture"
                unit="%"
                entered={field.standard_moisture_pct}
                fallback={null}
                onEnter={(standard_moisture_pct) =>
                  void session.edit({
                    kind: 'change_field',
                    name: field.name,
                    change: { standard_moisture_pct },
                  })
                }
              />
            </div>
            <div className="measure">
              <NumberEntry
                label="Moisture, where nothing measured it"
                unit="%"
                entered={field.moisture_pct}
                fallback={null}
                onEnter={(moisture_pct) =>
                  void session.edit({ kind: 'change_field', name: field.name, change: { moisture_pct } })
                }
              />
            </div>
          </div>
        </details>
      ))}
      <NewField />
    </section>
  );
}

function NewField() {
  const session = useSession();
  const [name, setName] = useState('');
  const [crop, setCrop] = useState('corn');
  const add = (event: FormEvent) => {
    event.preventDefault();
    void session.edit({ kind: 'add_field', field: { name: name.trim(), crop } });
    setName('');
  };
  return (
    <details>
      <summary className="quiet">Add a field</summary>
      <form className="form-grid" onSubmit={add}>
        <label htmlFor="field-name">Name</label>
        <input
          id="field-name"
          type="text"
          required
          value={name}
          onChange={({ target }) => setName(target.value)}
        />
        <label htmlFor="field-crop">Crop</label>
        <select id="field-crop" value={crop} onChange={({ target }) => setCrop(target.value)}>
          {KNOWN_CROPS.map((known) => (
            <option key={known.name}>{known.name}</option>
          ))}
        </select>
        <div className="foot">
          <button type="submit" className="main">
            Add field
          </button>
        </div>
      </form>
    </details>
  );
}
