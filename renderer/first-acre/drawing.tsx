/** A drawing that the core has made, for sheet and window alike. */
import { useEffect, useRef } from 'react';
import type { Markup } from '../../core/export/report/markup.ts';

export function Drawing({ markup }: { readonly markup: Markup }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    // the core escapes everything that comes from files
    if (place.current !== null) place.current.innerHTML = markup.text;
  }, [markup.text]);
  return <div className="drawing" ref={place} />;
}
