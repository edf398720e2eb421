/** A number of the surface's settings: tried as it is typed, kept with Enter, with its default and the reason for it below. */
import type { ReactNode } from 'react';
import type { Patch } from '../../../core/edits/season-edit.ts';
import type { SurfaceSheet } from '../../../core/surface/surface-sheet.ts';
import type { Surfaces } from '../../session/surfaces.ts';
import { NumberEntry } from '../panel.tsx';
import type { ShownUnit } from './surface-units.ts';

interface SettingEntryProps {
  readonly surfaces: Surfaces;
  readonly label: string;
  /** Of the number in the sheet; absent: it has none. */
  readonly unit?: ShownUnit;
  /** Counts are whole. */
  readonly isWhole?: boolean;
  /** In the sheet's own unit. */
  readonly entered: number | undefined;
  readonly fallback: number | null;
  /** Numbers that can be meant, in the sheet's own unit; others are left alone while they are typed. */
  readonly within: readonly [low: number, high: number];
  readonly changeFor: (number: number | null) => Patch<SurfaceSheet>;
  /** The default, and why. */
  readonly children?: ReactNode;
}

export function SettingEntry({
  surfaces,
  label,
  unit,
  isWhole,
  entered,
  fallback,
  ...rest
}: SettingEntryProps) {
  const { within, changeFor, children } = rest;
  const per_si = unit?.per_si ?? 1;
  const shown = (number: number | null | undefined) =>
    typeof number === 'number' ? per_si * number : number;
  const isMeant = (number: number) => number >= within[0] && number <= within[1];
  const held = (typed: number) => (isWhole ? Math.round(typed) : typed / per_si);
  return (
    <div className="measure">
      <NumberEntry
        label={label}
        unit={unit?.unit ?? ''}
        step={isWhole ? 1 : undefined}
        entered={shown(entered) ?? undefined}
        fallback={shown(fallback) ?? null}
        onEnter={(typed) => {
          if (typed === null) surfaces.try(changeFor(null));
          else if (isMeant(held(typed))) void surfaces.keep(changeFor(held(typed)));
        }}
        onDraft={(typed) => {
          if (typed === null) surfaces.leave();
          else if (isMeant(held(typed))) surfaces.try(changeFor(held(typed)));
        }}
      />
      {children !== undefined && <p className="hint-line">{children}</p>}
    </div>
  );
}
