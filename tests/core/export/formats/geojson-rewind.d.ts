declare module '@mapbox/geojson-rewind' {
  /** Turns rings in place by the right hand [RFC 7946 §3.1.6]. */
  export default function rewind<T extends import('geojson').GeoJSON>(found: T): T;
}
