/** Whether a pair of degrees is a place. */

/** A position off the globe, or at 0, 0 in the open sea (what receivers without a fix write), is none; NaN is none, too. */
export function isPosition(longitude_deg: number, latitude_deg: number): boolean {
  const onGlobe = Math.abs(longitude_deg) <= 180 && Math.abs(latitude_deg) <= 90;
  return onGlobe && !(longitude_deg === 0 && latitude_deg === 0);
}
