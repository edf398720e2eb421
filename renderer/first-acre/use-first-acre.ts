/** What both parts of the place are given. */
import type { SeasonReply } from '../../core/host-contract.ts';
import type { MachineSheet } from '../../core/season.ts';
import type { Session } from '../session/session.ts';
import { useSession, useSessionState } from '../session/use-session.ts';
import type { UnitSystem } from '../text/quantities.ts';
import type { EntryKey, Fitting } from './fitting.ts';

export interface FirstAcreContext {
  readonly session: Session;
  readonly season: SeasonReply | null;
  readonly machine: MachineSheet | undefined;
  /** As on the sheets. */
  readonly machineName: string;
  readonly units: UnitSystem;
  readonly fitting: Fitting;
  readonly change: (change: Partial<Fitting>) => void;
  readonly type: (key: EntryKey, text: string) => void;
}

export function useFirstAcre(): FirstAcreContext {
  const session = useSession();
  const { season, view } = useSessionState();
  const { fitting } = view;
  const machine = season?.document.machines.find(({ id }) => id === fitting.machine);
  const change = (part: Partial<Fitting>) =>
    session.look({ fitting: { ...session.state.view.fitting, ...part } });
  return {
    session,
    season,
    machine,
    machineName: machine?.name ?? 'Clean-grain elevator',
    // inches are what a drill bit is sold in where no season says otherwise
    units: view.units ?? season?.document.units ?? 'us',
    fitting,
    change,
    type: (key, text) => change({ entries: { ...session.state.view.fitting.entries, [key]: text } }),
  };
}
