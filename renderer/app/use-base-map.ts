/** The user's own map under the fields: read once from the host, kept there when it is changed. */
import { useEffect, useState } from 'react';
import type { BaseMapChoice } from '../../core/base-map.ts';
import type { BaseMapReply } from '../../core/host-contract.ts';
import { HostTrouble } from '../host-client/host-client.ts';
import { useSession } from '../session/use-session.ts';

const NONE: BaseMapReply = { base_map: null, problem: null };

export interface BaseMapHold extends BaseMapReply {
  /** A sentence when it is refused. */
  readonly choose: (choice: BaseMapChoice | null) => Promise<string | null>;
}

export function useBaseMap(): BaseMapHold {
  const { host } = useSession();
  const [reply, setReply] = useState(NONE);
  useEffect(() => {
    let isWanted = true;
    host.call('readBaseMap', {}).then(
      (found) => isWanted && setReply(found),
      // A host that does not answer says so elsewhere; the fields are shown without.
      () => undefined,
    );
    return () => {
      isWanted = false;
    };
  }, [host]);
  const choose = async (base_map: BaseMapChoice | null) => {
    try {
      const kept = await host.call('setBaseMap', {}, { base_map });
      // Which server the page may ask stands in its policy, which comes with the page: this one may not ask the new one.
      if (base_map?.kind === 'address' || reply.base_map?.kind === 'address') location.reload();
      else setReply(kept);
      return null;
    } catch (caught) {
      if (!(caught instanceof HostTrouble)) throw caught;
      return caught.reply.text;
    }
  };
  return { ...reply, choose };
}
