import uPlot from 'uplot';
import type { TrendColumns } from '../live/trend-columns.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { chartColour } from './chart-colours.ts';
import type { PaneData, PaneTrace } from './pane-data.ts';
import type { PaneSetup } from './pane.ts';
import { doubtfulOf, envelopeAround, lineThrough, spanOf, type Places } from './trace-path.ts';
import type { TraceStyle } from './trace-style.ts';

const MS_PER_S = 1000;
const UNDER_STYLE: TraceStyle = { dash: [], widthPx: 3 };
/** Where values are not to be trusted the line is broken into dots, whatever its style. */
const DOUBTFUL_STYLE: TraceStyle = { dash: [1.5, 3], widthPx: 2 };
const DOUBT_BAR_PX = 4;

/** The traces, what is laid under them, and where they are not to be trusted. */
export function drawTraces(plot: uPlot, data: PaneData, setup: PaneSetup): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  const places = placesOf(plot, setup);
  const { fromMs, toMs } = data.window;
  const shift = data.underShiftMs;
  for (const [index, { under }] of data.traces.entries()) {
    if (under === null) continue;
    const isStep = setup.isStep[index] ?? false;
    const path = linePath(under, {
      window: { fromMs: fromMs - shift, toMs: toMs - shift },
      places: { ...places, xAtZero: places.xAtZero + shift * places.perMs },
      isStep,
    });
    stroke(ctx, path, { colour: chartColour('under'), style: UNDER_STYLE });
  }
  for (const [index, trace] of data.traces.entries()) {
    const style = setup.styles[index] ?? UNDER_STYLE;
    drawTrace(plot, trace, { data, places, style, isStep: setup.isStep[index] ?? false });
  }
  ctx.restore();
}

interface TraceDrawing {
  readonly data: PaneData;
  readonly places: Places;
  readonly style: TraceStyle;
  readonly isStep: boolean;
}

function drawTrace(plot: uPlot, trace: PaneTrace, { data, places, style, isStep }: TraceDrawing): void {
  const { ctx } = plot;
  const { window } = data;
  const colour = chartColour(trace.colour);
  const envelope = new Path2D();
  if (envelopeAround(envelope, trace.columns, { span: spanOf(trace.columns, window), places })) {
    ctx.fillStyle = chartColour('envelope');
    ctx.fill(envelope);
  }
  const path = linePath(trace.columns, { window, places, isStep });
  const doubtful = doubtfulOf(trace.columns, window);
  if (doubtful.length === 0) {
    stroke(ctx, path, { colour, style });
    return;
  }
  const [inside, outside] = doubtAreas(plot, doubtful, places);
  clipped(ctx, outside, () => stroke(ctx, path, { colour, style }));
  clipped(ctx, inside, () => stroke(ctx, path, { colour, style: DOUBTFUL_STYLE }));
  drawDoubtBars(plot, doubtful, places);
}

function linePath(
  columns: TrendColumns,
  how: { readonly window: PaneData['window']; readonly places: Places; readonly isStep: boolean },
): Path2D {
  const path = new Path2D();
  lineThrough(path, columns, { ...how, span: spanOf(columns, how.window) });
  return path;
}

function placesOf(plot: uPlot, { scale }: PaneSetup): Places {
  const [x0, x1] = [plot.scales['x']?.min ?? 0, plot.scales['x']?.max ?? 1];
  const [y0, y1] = [plot.scales['y']?.min ?? 0, plot.scales['y']?.max ?? 1];
  const { left, top, width, height } = plot.bbox;
  const perMs = width / ((x1 - x0) * MS_PER_S);
  const perShown = -height / (y1 - y0);
  return {
    perMs,
    xAtZero: left - x0 * MS_PER_S * perMs,
    perUnit: perShown * scale.factor,
    yAtZero: top + height + (scale.offset - y0) * perShown,
  };
}

function stroke(
  ctx: CanvasRenderingContext2D,
  path: Path2D,
  { colour, style }: { readonly colour: string; readonly style: TraceStyle },
): void {
  ctx.strokeStyle = colour;
  ctx.lineWidth = style.widthPx * uPlot.pxRatio;
  ctx.lineJoin = 'round';
  ctx.setLineDash(style.dash.map((px) => px * uPlot.pxRatio));
  ctx.stroke(path);
}

/** The stretches themselves, and all but them. */
function doubtAreas(plot: uPlot, doubtful: readonly TimeWindow[], places: Places): readonly [Path2D, Path2D] {
  const { left, top, width, height } = plot.bbox;
  const inside = new Path2D();
  const outside = new Path2D();
  outside.rect(left, top, width, height);
  for (const [x, size] of doubtful.map((stretch) => placeOf(stretch, places))) {
    inside.rect(x, top, size, height);
    outside.rect(x, top, size, height);
  }
  return [inside, outside];
}

function clipped(ctx: CanvasRenderingContext2D, area: Path2D, draw: () => void): void {
  ctx.save();
  ctx.clip(area, 'evenodd');
  draw();
  ctx.restore();
}

/** An outlined bar along the top edge, so that a doubt is seen on a steep line as well. */
function drawDoubtBars(plot: uPlot, doubtful: readonly TimeWindow[], places: Places): void {
  const { ctx, bbox } = plot;
  const height = DOUBT_BAR_PX * uPlot.pxRatio;
  ctx.setLineDash([]);
  ctx.lineWidth = uPlot.pxRatio;
  for (const stretch of doubtful) {
    const [x, size] = placeOf(stretch, places);
    ctx.strokeStyle = chartColour('ink-soft');
    ctx.strokeRect(x, bbox.top + 0.5, size, height);
  }
}

/** At least two pixels wide, or a short doubt on a long axis would not be seen. */
function placeOf({ fromMs, toMs }: TimeWindow, { perMs, xAtZero }: Places): readonly [number, number] {
  return [fromMs * perMs + xAtZero, Math.max(2, (toMs - fromMs) * perMs)];
}
