import uPlot from 'uplot';
import { chartColour } from './chart-colours.ts';

const TILE_PX = 8;

let made: { readonly colour: string; readonly pattern: CanvasPattern | string } | null = null;

/** Slanted lines for where there is nothing: seen as different from an empty ground, and in print too. */
export function hatching(ctx: CanvasRenderingContext2D): CanvasPattern | string {
  const colour = chartColour('edge');
  if (made?.colour !== colour) made = { colour, pattern: patternOf(ctx, colour) };
  return made.pattern;
}

function patternOf(ctx: CanvasRenderingContext2D, colour: string): CanvasPattern | string {
  const tile = document.createElement('canvas');
  const px = TILE_PX * uPlot.pxRatio;
  tile.width = px;
  tile.height = px;
  const pen = tile.getContext('2d');
  if (pen === null) return colour;
  pen.strokeStyle = colour;
  pen.lineWidth = uPlot.pxRatio;
  pen.beginPath();
  for (const shift of [-px, 0, px]) {
    pen.moveTo(shift, px);
    pen.lineTo(shift + px, 0);
  }
  pen.stroke();
  return ctx.createPattern(tile, 'repeat') ?? colour;
}
