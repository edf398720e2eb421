/** A field made ready for drawing, when it is. */
import { useEffect, useState } from 'react';
import { type PreparedField, preparedField } from './prepared-field.ts';
import type { FieldColumns } from './types.ts';

export type Preparing = { readonly state: 'preparing' } | { readonly state: 'nowhere' } | Ready;

interface Ready {
  readonly state: 'ready';
  readonly field: PreparedField;
}

/** While newer columns are prepared the older ones stay. */
export function usePreparedField(columns: FieldColumns | undefined): Preparing {
  const [preparing, setPreparing] = useState<Preparing>({ state: 'preparing' });
  useEffect(() => {
    let isWanted = true;
    if (columns === undefined) {
      setPreparing({ state: 'preparing' });
      return;
    }
    void preparedField(columns).then((field) => {
      if (isWanted) setPreparing(field ? { state: 'ready', field } : { state: 'nowhere' });
    });
    return () => {
      isWanted = false;
    };
  }, [columns]);
  return preparing;
}
