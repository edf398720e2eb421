/** A base map of the user's own under the fields: a tile archive on this computer, or a tile server's address. */

export interface BaseMapChoice {
  /** `file`: `at` is the path of a PMTiles archive; `address`: a template with {z}, {x} and {y}. */
  readonly kind: 'file' | 'address';
  readonly at: string;
  /** Whom the map is owed to, shown on it. */
  readonly attribution: string;
}

/**
 * Scheme, host and port of a tile address; `undefined` when it is none: not http or https, without {z}, {x} or {y}, with
 * a name and password in it, or with a placeholder in the host, which would let it be another one each time.
 */
export function tileOrigin(template: string): string | undefined {
  const address = template.trim();
  const found = /^(https?:\/\/[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?(?::\d{1,5})?)\/[^\s@\\]*$/i.exec(address);
  const isWhole = ['{z}', '{x}', '{y}'].every((part) => address.includes(part));
  // What stands in a content security policy may hold nothing that ends one of its parts: letters, digits, dots, dashes.
  return found && isWhole ? found[1].toLowerCase() : undefined;
}

export interface BaseMapBody {
  /** `null`: none. */
  readonly base_map: BaseMapChoice | null;
}

export interface BaseMapReply extends BaseMapBody {
  /** Why it cannot be shown now; `null` when it can. */
  readonly problem: string | null;
}
