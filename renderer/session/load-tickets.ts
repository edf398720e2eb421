/** Tickets of a load: several that were weighed for the same grain stand together under one name (`calibrate/loads.ts`). */
export function ticketsOf(load: string): string[] {
  return load.split(' + ');
}
