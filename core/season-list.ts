/** What the host says of the seasons that it knows. */
import type { ErrorReply } from './host-contract.ts';

export interface HomeReply {
  readonly folder: string;
  readonly chosen_by: 'option' | 'environment' | 'preference' | 'default';
  /** Seasons in the folder, by name of their folder. */
  readonly seasons: readonly SeasonCard[];
  /** Seasons that were opened from elsewhere and are open. */
  readonly elsewhere: readonly SeasonCard[];
}

/** One season in a list; one that cannot be read is there too, and says why. */
export interface SeasonCard {
  readonly season: string;
  readonly folder: string;
  /** Of the sheet; the folder's name where the sheet cannot be read. */
  readonly name: string;
  readonly fields: readonly { readonly name: string; readonly crop: string }[];
  readonly crops: readonly string[];
  readonly machines: readonly string[];
  readonly log_files: number;
  /** First and last moment of the harvest, from the last build; `null` before one. */
  readonly first_utc: string | null;
  readonly last_utc: string | null;
  /** When the sheet was last written. */
  readonly modified_utc: string | null;
  readonly is_open: boolean;
  readonly problem: SeasonProblem | null;
}

export interface SeasonProblem extends ErrorReply {
  /** Whether `restoreSeason` can bring the season back from its previous sheet. */
  readonly can_restore: boolean;
}

export interface SetHomeBody {
  readonly folder: string;
}
