/** A level plane around a place: metres east and north of it, true for the size of a block. */
import type { Spot } from "./drawn";

/** Lengths of a degree of the WGS 84 ellipsoid, as in `nursery/domain/field/ground.py`. */
export function degree(latitude: number): Spot {
  const at = (latitude * Math.PI) / 180;
  const north = 111132.92 - 559.82 * Math.cos(2 * at) + 1.175 * Math.cos(4 * at);
  const east = 111412.84 * Math.cos(at) - 93.5 * Math.cos(3 * at) + 0.118 * Math.cos(5 * at);
  return [east, north];
}

/** Longitude and latitude. */
export type Place = readonly [lon: number, lat: number];

export function metresOf(origin: Place, [lon, lat]: Place): Spot {
  const [east, north] = degree(origin[1]);
  return [(lon - origin[0]) * east, (lat - origin[1]) * north];
}

export function placeAt(origin: Place, [x, y]: Spot): Place {
  const [east, north] = degree(origin[1]);
  return [origin[0] + x / east, origin[1] + y / north];
}
