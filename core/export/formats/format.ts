/** What an export format is: from layers to files. Its name and what people are told of it stand in `format-list.ts`. */
import type { DataError } from '../../errors.ts';
import type { ExportLayer, LayerKind } from '../layers/layer.ts';

/** What every exported file says of its own making. */
export interface Provenance {
  /** `Sheaflight 0.1.0`. */
  readonly generated_by: string;
  readonly season: string;
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
  /** The season's settings as JSON text. */
  readonly settings: string;
  /** Standard moisture by field, and that figures are estimates: sentences for people. */
  readonly remarks: readonly string[];
}

/** One file to write; a name may have folders in it, parted by `/`. */
export interface ExportFile {
  readonly name: string;
  readonly pieces: Iterable<string | Uint8Array> | AsyncIterable<string | Uint8Array>;
}

/** Layers of one kind that go into files of one stem: `home-points` → `home-points.geojson`. */
export interface LayerSet {
  readonly stem: string;
  readonly kind: LayerKind;
  readonly layers: readonly ExportLayer[];
  /** As `layers`: stems for formats that need a file for each. */
  readonly field_stems?: readonly string[];
}

export interface ExportFormat {
  readonly kinds: readonly LayerKind[];
  /** Why these sets cannot be written so, as one sentence with what to do instead; asked before `files`, absent where all can. */
  readonly refusal?: (sets: readonly LayerSet[]) => DataError | undefined;
  /** Same sets, same bytes. Some formats write one file for all sets, others one or more for each. */
  readonly files: (
    sets: readonly LayerSet[],
    provenance: Provenance,
  ) => readonly ExportFile[] | Promise<readonly ExportFile[]>;
}
