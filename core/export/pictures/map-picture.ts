/** The map of a field as a picture: ground, boundary, coordinates, scale and north. */
import type { LocalFrame } from '../../track/local-frame.ts';
import type { Drawing, Shape } from '../document/drawing.ts';
import type { UnitSystem } from '../report/figures.ts';
import type { PlaneBox } from '../report/map-frame.ts';
import { boundaryLegend, boundaryLine, graticule, mapSheet, northArrow, scaleBar } from './map-furniture.ts';
import { type PictureFrame, type PictureRoom, pictureFrame } from './picture-frame.ts';

/** What is drawn, in the field's plane. */
export interface MapSubject {
  readonly box: PlaneBox;
  readonly ground: (frame: PictureFrame) => Shape[];
  /** Rings of the boundary, interleaved east, north; none where the field has none. */
  readonly outline: readonly Float64Array[];
  /** Where the plane is on the globe; without it there are no coordinates. */
  readonly plane: LocalFrame | undefined;
  readonly system: UnitSystem;
}

/** A whole map in its room: the shapes, and the height that they take of it. */
export function mapShapes(
  subject: MapSubject,
  room: PictureRoom,
): { readonly shapes: Shape[]; readonly height: number } {
  const frame = pictureFrame(subject.box, room);
  const shapes = [
    ...plainMap(subject, frame),
    ...(subject.outline.length > 0 ? boundaryLegend(frame) : []),
    ...graticule(frame, subject.plane),
  ];
  return { height: frame.height, shapes };
}

function plainMap(subject: MapSubject, frame: PictureFrame): Shape[] {
  return [
    ...mapSheet(frame),
    ...subject.ground(frame),
    ...boundaryLine(subject.outline, frame),
    ...scaleBar(frame, subject.system),
    ...northArrow(frame),
  ];
}

/** The map across the type area of a page. */
export function mapPicture(subject: MapSubject, width: number, most_height: number): Drawing {
  const least_height = Math.min(150, most_height);
  const { shapes, height } = mapShapes(subject, {
    x: 0,
    y: 0,
    width,
    least_height,
    most_height,
    margin: 14,
    foot: 20,
  });
  return { width, height, shapes };
}

/** A small one for a page of many: no coordinates, and as high as its neighbours. */
export function smallMapPicture(subject: MapSubject, width: number, height: number): Drawing {
  const room = { x: 0, y: 0, width, least_height: height, most_height: height, margin: 8, foot: 16 };
  return { width, height, shapes: plainMap(subject, pictureFrame(subject.box, room)) };
}
