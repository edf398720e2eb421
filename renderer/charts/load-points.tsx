/** Loads as they are marked in every chart: used, left out, flagged. */
import type { LoadSummary } from '../../core/result.ts';

export type LoadState = 'used' | 'unused' | 'flagged';

export function stateOfLoad(load: LoadSummary): LoadState {
  if (load.flagged) return 'flagged';
  return load.used ? 'used' : 'unused';
}

interface LoadMarkProps {
  readonly load: LoadSummary;
  readonly x: number;
  readonly y: number;
  readonly isSelected: boolean;
  readonly onSelect?: (ticket: string) => void;
}

/** Dot of a used load, ring of an unused one, triangle of a flagged one; told apart by shape as well as colour. */
export function LoadMark({ load, x, y, isSelected, onSelect }: LoadMarkProps) {
  const state = stateOfLoad(load);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the table of loads beside it is the way for keys
    <g className={`load ${state}`} onClick={() => onSelect?.(load.ticket)}>
      <title>{`${load.ticket}: ${load.why}`}</title>
      <circle cx={x} cy={y} r={10} className="reach" />
      {isSelected && <circle cx={x} cy={y} r={8} className="chosen" />}
      {state === 'flagged' ? (
        <path d={`M${x} ${y - 5.5}l5.5 9.5h-11z`} className="mark" />
      ) : (
        <circle cx={x} cy={y} r={state === 'used' ? 3.6 : 3.2} className="mark" />
      )}
    </g>
  );
}

/** `20430`, `20430 and 20431`, `20430, 20431 and 2 more` */
export function namesOf(tickets: readonly string[]): string {
  if (tickets.length <= 1) return tickets[0] ?? '';
  if (tickets.length > 3) return `${tickets.slice(0, 2).join(', ')} and ${tickets.length - 2} more`;
  return `${tickets.slice(0, -1).join(', ')} and ${tickets.at(-1)}`;
}
