/** NMEA 0183 sentences as receivers write them. */

/** `$body*hh`, hh the exclusive or of the body's characters in hexadecimal. */
export function sentence(body: string): string {
  let sum = 0;
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}`;
}

/** `ddmm.mmmmmmm,N`: seven decimals of a minute, 0.2 mm. */
export function latitudeText(degrees: number): string {
  return `${degreesMinutes(Math.abs(degrees), 2)},${degrees < 0 ? 'S' : 'N'}`;
}

/** `dddmm.mmmmmmm,E`. */
export function longitudeText(degrees: number): string {
  return `${degreesMinutes(Math.abs(degrees), 3)},${degrees < 0 ? 'W' : 'E'}`;
}

/** `hhmmss.ss` of Unix milliseconds. */
export function clockText(utc_ms: number): string {
  const iso = new Date(utc_ms).toISOString();
  return `${iso.slice(11, 13)}${iso.slice(14, 16)}${iso.slice(17, 19)}.${iso.slice(20, 22)}`;
}

/** `ddmmyy` of Unix milliseconds. */
export function dateText(utc_ms: number): string {
  const iso = new Date(utc_ms).toISOString();
  return `${iso.slice(8, 10)}${iso.slice(5, 7)}${iso.slice(2, 4)}`;
}

function degreesMinutes(degrees: number, digits: number): string {
  // In whole ten-millionths of a minute, so that 59.99999999 never prints as 60.
  const units = Math.round(degrees * 60 * 1e7);
  const whole = Math.floor(units / 600_000_000);
  const minutes = (units - whole * 600_000_000) / 1e7;
  return `${String(whole).padStart(digits, '0')}${minutes.toFixed(7).padStart(10, '0')}`;
}
