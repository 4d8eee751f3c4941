import uPlot from 'uplot';
import type { Band } from '../../server/contract/figure-message.ts';
import { chartColour } from './chart-colours.ts';

const TARGET_DASH = [2, 4];

/** Bands are grey grounds; a target is a thin dotted line. */
export function drawBands(plot: uPlot, bands: readonly (Band | null)[]): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  for (const band of bands) {
    if (band === null) continue;
    drawGround(plot, band);
    if (band.target !== null) drawTarget(plot, band.target);
  }
  ctx.restore();
}

function drawGround(plot: uPlot, { low, high }: Band): void {
  if (low === null && high === null) return;
  const { ctx, bbox } = plot;
  const top = high === null ? bbox.top : plot.valToPos(high, 'y', true);
  const bottom = low === null ? bbox.top + bbox.height : plot.valToPos(low, 'y', true);
  ctx.fillStyle = chartColour('track');
  ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
}

function drawTarget(plot: uPlot, target: number): void {
  const { ctx, bbox } = plot;
  const y = plot.valToPos(target, 'y', true);
  ctx.strokeStyle = chartColour('edge-strong');
  ctx.lineWidth = uPlot.pxRatio;
  ctx.setLineDash(TARGET_DASH.map((px) => px * uPlot.pxRatio));
  ctx.beginPath();
  ctx.moveTo(bbox.left, y);
  ctx.lineTo(bbox.left + bbox.width, y);
  ctx.stroke();
}
