import type { RibbonSize } from './ribbon-layout.ts';

const WALL_PX = 1300;

/** The ribbon's proportions for the room it has: generous on the wall, compact on a desk. */
export function ribbonSize(widthPx: number): RibbonSize {
  const isWall = widthPx >= WALL_PX;
  return {
    widthPx,
    thicknessPxMax: isWall ? 132 : 86,
    dropPx: isWall ? 66 : 40,
    fontPx: isWall ? 15 : 13,
  };
}
