/** The ways to a new comparison: strips drawn on the map, a file of treatments, or what was cut when. */
import { useRef } from 'react';
import { comparisonsOf } from '../../session/comparisons.ts';
import type { StepContext } from '../panel.tsx';

export function NewComparison({ session, field, isFirst }: StepContext & { readonly isFirst: boolean }) {
  const comparisons = comparisonsOf(session);
  const file = useRef<HTMLInputElement>(null);
  return (
    <section>
      <h3>{isFirst ? 'Compare strips' : 'Another comparison'}</h3>
      <div className="row">
        <button
          type="button"
          className={isFirst ? 'main' : 'framed'}
          onClick={() => comparisons.draw(field.name)}
        >
          Draw strips on the map
        </button>
        <button type="button" className="framed" onClick={() => file.current?.click()}>
          From a treatment file…
        </button>
        <button type="button" className="framed" onClick={() => comparisons.time(field.name)}>
          By when it was cut
        </button>
        <input
          ref={file}
          type="file"
          className="unseen"
          tabIndex={-1}
          aria-label="Treatment file"
          accept=".geojson,.json,application/geo+json"
          onChange={({ target }) => {
            const [chosen] = target.files ?? [];
            if (chosen !== undefined) void comparisons.send(chosen);
            target.value = '';
          }}
        />
      </div>
      <p className="hint-line">
        A treatment file is GeoJSON with a polygon for each strip, such as the map that the spreader or
        sprayer went by.
      </p>
    </section>
  );
}
