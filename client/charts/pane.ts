import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Band } from '../../server/contract/figure-message.ts';
import { axisTimeText } from '../../server/contract/format/axis-time-text.ts';
import type { TimeReader } from '../../server/contract/format/time-text.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import { alignedData } from './aligned-data.ts';
import { chartColour } from './chart-colours.ts';
import type { TraceStyle } from './trace-style.ts';
import { valueRange } from './value-range.ts';

/** What stays the same while a pane lives. */
export interface PaneSetup {
  readonly styles: readonly TraceStyle[];
  readonly hasTimeAxis: boolean;
  readonly time: TimeReader;
  axisText(value: number, step: number): string;
  /** Panes of one chart move their cursors together. */
  readonly syncKey: string;
  onCursor?(timeMs: number | null): void;
  /** A stretch was picked by dragging. Without it, dragging does nothing. */
  onPick?(window: TimeWindow): void;
}

export interface PaneData {
  readonly window: TimeWindow;
  readonly traces: readonly TrendColumns[];
  readonly bands: readonly (Band | null)[];
  /** Token of each trace's colour: ink, or the priority of its alarm. */
  readonly colours: readonly string[];
}

/** One pane of a chart. All panes have axes of the same width, so that their times stand above each other. */
export interface Pane {
  draw(data: PaneData): void;
  resize(widthPx: number, heightPx: number): void;
  /** Repaints, as after a change of theme. */
  repaint(): void;
  readonly overlay: HTMLElement;
  close(): void;
}

const MS_PER_S = 1000;
const AXIS_PX = 58;
const TIME_AXIS_PX = 26;
const SERIES_PER_TRACE = 3;
const DRAG_PX_MIN = 5;

export function openPane(root: HTMLElement, setup: PaneSetup): Pane {
  let data: PaneData = { window: { fromMs: 0, toMs: 1 }, traces: [], bands: [], colours: [] };
  const colourOf = (trace: number) => chartColour(data.colours[trace] ?? 'ink');
  const chart = new uPlot(
    {
      width: 300,
      height: 100,
      legend: { show: false },
      padding: [6, 12, setup.hasTimeAxis ? 0 : 6, 0],
      tzDate: (seconds) => uPlot.tzDate(new Date(seconds * MS_PER_S), setup.time.timeZone),
      scales: {
        x: { time: true, range: () => [data.window.fromMs / MS_PER_S, data.window.toMs / MS_PER_S] },
        y: { range: () => [...valueRange(data.traces, data.bands)] },
      },
      axes: axesOf(setup),
      series: [{}, ...setup.styles.flatMap((style, trace) => seriesOf(style, () => colourOf(trace)))],
      bands: setup.styles.map((_, trace) => ({
        series: [trace * SERIES_PER_TRACE + 1, trace * SERIES_PER_TRACE + 2],
        fill: () => chartColour('envelope'),
      })),
      cursor: {
        y: false,
        sync: { key: setup.syncKey, setSeries: false },
        bind: { mousedown: (_plot, _target, handler) => (event) => (event.shiftKey ? null : handler(event)) },
        drag: { x: setup.onPick !== undefined, y: false, setScale: false, dist: DRAG_PX_MIN },
        points: { show: false },
      },
      hooks: {
        drawClear: [(plot) => drawBands(plot, data.bands)],
        setCursor: [(plot) => setup.onCursor?.(cursorMs(plot))],
        setSelect: [(plot) => pick(plot, setup)],
      },
    },
    alignedData([]),
    root,
  );
  return {
    draw(next) {
      data = next;
      chart.setData(alignedData(next.traces));
    },
    resize: (widthPx, heightPx) => chart.setSize({ width: widthPx, height: heightPx }),
    repaint: () => chart.redraw(false, true),
    overlay: chart.over,
    close: () => chart.destroy(),
  };
}

function axesOf(setup: PaneSetup): uPlot.Axis[] {
  const text = () => chartColour('ink-soft');
  const grid = { stroke: () => chartColour('edge'), width: 1 };
  const font = '12px B612';
  return [
    {
      size: setup.hasTimeAxis ? TIME_AXIS_PX : 0,
      stroke: text,
      grid,
      ticks: { show: false },
      font,
      space: 90,
      values: (_plot, splits, _axis, _space, step) =>
        splits.map((seconds) =>
          setup.hasTimeAxis ? axisTimeText(seconds * MS_PER_S, step * MS_PER_S, setup.time) : '',
        ),
    },
    {
      size: AXIS_PX,
      stroke: text,
      grid,
      ticks: { show: false },
      font,
      space: 24,
      values: (_plot, splits, _axis, _space, step) => splits.map((value) => setup.axisText(value, step)),
    },
  ];
}

/** Max and min are the edges of the envelope and are not stroked; mid is the line. */
function seriesOf({ dash, widthPx }: TraceStyle, colour: () => string): uPlot.Series[] {
  const edge: uPlot.Series = { stroke: 'transparent', width: 0, points: { show: false } };
  const line: uPlot.Series = {
    stroke: colour,
    width: widthPx,
    dash: [...dash],
    points: { show: true, size: 3, fill: colour, stroke: colour, filter: loneIndexes },
  };
  return [edge, edge, line];
}

/** A value between two gaps has no line to either side; it is drawn as a dot, or it would not be seen. */
function loneIndexes(plot: uPlot, seriesIndex: number): number[] {
  const values = plot.data[seriesIndex] ?? [];
  const lone: number[] = [];
  for (let index = 0; index < values.length; index++) {
    if (values[index] == null) continue;
    if (values[index - 1] == null && values[index + 1] == null) lone.push(index);
  }
  return lone;
}

/** Bands are grey grounds; a target is a thin line. */
function drawBands(plot: uPlot, bands: readonly (Band | null)[]): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  for (const band of bands) {
    if (band === null) continue;
    const top = band.high === null ? bbox.top : plot.valToPos(band.high, 'y', true);
    const bottom = band.low === null ? bbox.top + bbox.height : plot.valToPos(band.low, 'y', true);
    if (band.high !== null || band.low !== null) {
      ctx.fillStyle = chartColour('track');
      ctx.fillRect(bbox.left, top, bbox.width, bottom - top);
    }
    if (band.target === null) continue;
    ctx.strokeStyle = chartColour('edge-strong');
    ctx.lineWidth = uPlot.pxRatio;
    ctx.setLineDash([2 * uPlot.pxRatio, 4 * uPlot.pxRatio]);
    const y = plot.valToPos(band.target, 'y', true);
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
  }
  ctx.restore();
}

function cursorMs(plot: uPlot): number | null {
  const { left } = plot.cursor;
  return left === undefined || left < 0 ? null : plot.posToVal(left, 'x') * MS_PER_S;
}

function pick(plot: uPlot, { onPick }: PaneSetup): void {
  const { left, width } = plot.select;
  if (onPick === undefined || width < DRAG_PX_MIN) return;
  const at = (px: number) => plot.posToVal(px, 'x') * MS_PER_S;
  onPick({ fromMs: at(left), toMs: at(left + width) });
  plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
}
