/** The contract's own example of a season sheet, and what the tests do with it. */
import type { Season } from '../../core/season.ts';
import { decodeSeason } from '../../core/season-file.ts';

/** The hand-written minimal sheet of the contract. */
export const MINIMAL_SHEET = `{
  "format": "sheaflight-season/1",
  "name": "Kestrel Flats 2026",
  "units": "us",
  "machines": [{
    "id": "c1", "name": "combine 1",
    "paddle":  { "pitch_mm": 203.2, "width_mm": 260, "depth_mm": 150, "thickness_mm": 10, "count": 61 },
    "beam":    { "above_lower_shaft_mm": 1500, "from_back_mm": 75 },
    "antenna": { "ahead_of_cut_m": -3.4, "right_of_centre_m": 0.6 },
    "header":  { "width_m": 9.144, "rows": 12 }
  }],
  "fields":  [{ "name": "Home", "crop": "corn", "boundary": "boundaries/home.geojson", "standard_moisture_pct": 15.5 }],
  "logs":    [{ "machine": "c1", "files": ["logs/combine.log"] }],
  "tickets": ["tickets/tickets.csv"]
}
`;

/** The season in `text`, which must be sound. */
export function seasonOf(text: string): Season {
  const decoded = decodeSeason(text);
  if (!decoded.ok) throw new Error(decoded.error.text);
  return decoded.value;
}

/** The sentence with which `text` is refused. */
export function errorOf(text: string): string {
  const decoded = decodeSeason(text);
  if (decoded.ok) throw new Error('decoded, although it should have been refused');
  return decoded.error.text;
}

/** The minimal sheet with one piece of text replaced by another. */
export function edited(from: string, to: string): string {
  if (!MINIMAL_SHEET.includes(from)) throw new Error(`not in the sheet: ${from}`);
  return MINIMAL_SHEET.replace(from, to);
}
