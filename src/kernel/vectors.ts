/** Plain vectors. Units and frames are the caller's. */

/** Plane vector [x, y]. */
export type Vec2 = readonly [number, number];
/** Space vector [x, y, z]. */
export type Vec3 = readonly [number, number, number];
