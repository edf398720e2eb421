/** What every output says of its figures. */

/** In full, wherever there is room for it. */
export const ESTIMATE_ONLY =
  'Estimate only. Not a legal-for-trade weight. Settle on certified scale tickets.';
