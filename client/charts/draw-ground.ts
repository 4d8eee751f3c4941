import uPlot from 'uplot';
import type { Band } from '../../server/contract/figure-message.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { chartColour } from './chart-colours.ts';
import { hatching } from './hatching.ts';
import type { PaneData, TimeLine } from './pane-data.ts';
import type { PaneSetup } from './pane.ts';
import { gapsOf } from './trace-path.ts';

const TARGET_DASH = [2, 4];
const LINE_DASH: Readonly<Record<TimeLine['kind'], readonly number[]>> = { mark: [], change: [1, 3] };
const GAP_PX_MIN = 2;
const MS_PER_S = 1000;

/** Behind the traces: bands grey, a target dotted, gaps hatched, what is measured shaded, marks as thin lines. */
export function drawGround(plot: uPlot, data: PaneData, { scale, styles }: PaneSetup): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  for (const band of data.bands) if (band !== null) drawBand(plot, band, scale);
  if (styles.length === 1) drawGaps(plot, data);
  if (data.selection !== null) drawSelection(plot, data.selection);
  for (const line of data.lines) drawTimeLine(plot, line);
  ctx.restore();
}

function drawBand(plot: uPlot, band: Band, { factor, offset }: PaneSetup['scale']): void {
  const at = (value: number) => plot.valToPos(value * factor + offset, 'y', true);
  const { ctx, bbox } = plot;
  if (band.low !== null || band.high !== null) {
    const top = band.high === null ? bbox.top : at(band.high);
    const bottom = band.low === null ? bbox.top + bbox.height : at(band.low);
    ctx.fillStyle = chartColour('track');
    ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
  }
  if (band.target === null) return;
  ctx.strokeStyle = chartColour('edge-strong');
  strokeLine(
    ctx,
    { from: [bbox.left, at(band.target)], to: [bbox.left + bbox.width, at(band.target)] },
    TARGET_DASH,
  );
}

function drawGaps(plot: uPlot, { traces, window }: PaneData): void {
  const [trace] = traces;
  if (trace === undefined) return;
  const { ctx, bbox } = plot;
  const leastMs = ((window.toMs - window.fromMs) / bbox.width) * GAP_PX_MIN * uPlot.pxRatio;
  for (const gap of gapsOf(trace.columns, window, leastMs)) {
    const [left, width] = across(plot, gap);
    ctx.fillStyle = hatching(ctx);
    ctx.fillRect(left, bbox.top, width, bbox.height);
  }
}

function drawSelection(plot: uPlot, selection: TimeWindow): void {
  const { ctx, bbox } = plot;
  const [left, width] = across(plot, selection);
  ctx.fillStyle = chartColour('selected');
  ctx.fillRect(left, bbox.top, width, bbox.height);
  ctx.strokeStyle = chartColour('ink-soft');
  for (const x of [left, left + width]) {
    strokeLine(ctx, { from: [x, bbox.top], to: [x, bbox.top + bbox.height] }, []);
  }
}

function drawTimeLine(plot: uPlot, { timeMs, kind }: TimeLine): void {
  const { ctx, bbox } = plot;
  const x = plot.valToPos(timeMs / MS_PER_S, 'x', true);
  if (x < bbox.left || x > bbox.left + bbox.width) return;
  ctx.strokeStyle = chartColour('ink-soft');
  strokeLine(ctx, { from: [x, bbox.top], to: [x, bbox.top + bbox.height] }, LINE_DASH[kind]);
}

interface Stroke {
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

function strokeLine(ctx: CanvasRenderingContext2D, { from, to }: Stroke, dash: readonly number[]): void {
  ctx.lineWidth = uPlot.pxRatio;
  ctx.setLineDash(dash.map((px) => px * uPlot.pxRatio));
  ctx.beginPath();
  ctx.moveTo(...from);
  ctx.lineTo(...to);
  ctx.stroke();
}

function across(plot: uPlot, { fromMs, toMs }: TimeWindow): readonly [number, number] {
  const left = plot.valToPos(fromMs / MS_PER_S, 'x', true);
  return [left, plot.valToPos(toMs / MS_PER_S, 'x', true) - left];
}
