/** Metres of a field's plane → points of its picture. */
import type { MapFrame, PlaneBox } from '../report/map-frame.ts';

/** Room for the map in a picture, in points. */
export interface PictureRoom {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly least_height: number;
  readonly most_height: number;
  /** White around what is drawn, inside the room. */
  readonly margin: number;
  /** More of it at the bottom, for scale and north. */
  readonly foot: number;
}

/** North is up; a metre is the same length both ways. `height` is that of the room used. */
export interface PictureFrame extends MapFrame {
  readonly left: number;
  readonly top: number;
  readonly eastOf_m: (x: number) => number;
  readonly northOf_m: (y: number) => number;
}

/** The frame in which the whole box is as large as the room allows. */
export function pictureFrame(box: PlaneBox, room: PictureRoom): PictureFrame {
  const { margin, foot } = room;
  const east_m = Math.max(box.east1 - box.east0, 1);
  const north_m = Math.max(box.north1 - box.north0, 1);
  const free_height = room.most_height - 2 * margin - foot;
  const points_per_m = Math.min((room.width - 2 * margin) / east_m, free_height / north_m);
  const height = Math.max(room.least_height, north_m * points_per_m + 2 * margin + foot);
  const west_x = room.x + (room.width - east_m * points_per_m) / 2;
  const north_y = room.y + (height - foot - north_m * points_per_m) / 2;
  return {
    left: room.x,
    top: room.y,
    width: room.width,
    height,
    points_per_m,
    x: (east) => west_x + (east - box.east0) * points_per_m,
    y: (north) => north_y + (box.north1 - north) * points_per_m,
    eastOf_m: (x) => box.east0 + (x - west_x) / points_per_m,
    northOf_m: (y) => box.north1 - (y - north_y) / points_per_m,
  };
}
