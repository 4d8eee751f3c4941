import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import type { Band } from '../../server/contract/figure-message.ts';
import { axisTimeText } from '../../server/contract/format/axis-time-text.ts';
import type { TimeReader } from '../../server/contract/format/time-text.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import { drawBands } from './draw-bands.ts';
import { alignedData } from './aligned-data.ts';
import { chartColour } from './chart-colours.ts';
import type { TraceStyle } from './trace-style.ts';
import { valueRange } from './value-range.ts';

/** What stays the same while a pane lives. */
export interface PaneSetup {
  readonly styles: readonly TraceStyle[];
  /** Whether each trace holds its value until the next, as contacts and set values do. */
  readonly isStep: readonly boolean[];
  /** Contacts have two values and no scale between them. */
  readonly isContact: boolean;
  readonly hasTimeAxis: boolean;
  readonly time: TimeReader;
  readonly axisText: (value: number, step: number) => string;
  /** Panes of one chart move their cursors together. */
  readonly syncKey: string;
  readonly onCursor: (timeMs: number | null) => void;
  /** A stretch was picked by dragging. Without it, dragging does nothing. */
  readonly onPick: ((window: TimeWindow) => void) | undefined;
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
  readonly draw: (data: PaneData) => void;
  readonly resize: (widthPx: number, heightPx: number) => void;
  /** Repaints, as after a change of theme. */
  readonly repaint: () => void;
  readonly close: () => void;
}

const MS_PER_S = 1000;
const AXIS_PX = 58;
const TIME_AXIS_PX = 26;
/** Least room between two labels of an axis. */
const TIME_SPACE_PX = 90;
const VALUE_SPACE_PX = 24;
/** A tall pane does not need more lines, only more room between them. */
const VALUE_LINES_MAX = 6;
const SERIES_PER_TRACE = 3;
const CONTACT_RANGE: [number, number] = [-0.25, 1.25];
const STEPPED = uPlot.paths.stepped === undefined ? {} : { paths: uPlot.paths.stepped({ align: 1 }) };
const DRAG_PX_MIN = 5;

export function openPane(root: HTMLElement, setup: PaneSetup): Pane {
  let data: PaneData = { window: { fromMs: 0, toMs: 1 }, traces: [], bands: [], colours: [] };
  const chart = new uPlot(
    optionsOf(setup, () => data),
    alignedData([]),
    root,
  );
  return {
    draw(next) {
      const hasSameTraces =
        next.traces.length === data.traces.length &&
        next.traces.every((trace, index) => trace === data.traces[index]);
      data = next;
      if (hasSameTraces) showWindow(chart, next);
      else chart.setData(alignedData(next.traces));
    },
    resize: (widthPx, heightPx) => chart.setSize({ width: widthPx, height: heightPx }),
    repaint: () => chart.redraw(false, true),
    close: () => chart.destroy(),
  };
}

/** Another stretch of the same traces: nothing needs to be joined or copied. */
function showWindow(chart: uPlot, { window }: PaneData): void {
  chart.setScale('x', { min: window.fromMs / MS_PER_S, max: window.toMs / MS_PER_S });
}

function optionsOf(setup: PaneSetup, data: () => PaneData): uPlot.Options {
  const { timeZone } = setup.time;
  const colourOf = (trace: number) => chartColour(data().colours[trace] ?? 'ink');
  return {
    width: 300,
    height: 100,
    legend: { show: false },
    padding: [6, 12, setup.hasTimeAxis ? 0 : 6, 0],
    tzDate: (seconds) => uPlot.tzDate(new Date(seconds * MS_PER_S), timeZone),
    scales: {
      x: { time: true, range: () => [data().window.fromMs / MS_PER_S, data().window.toMs / MS_PER_S] },
      y: { range: () => (setup.isContact ? CONTACT_RANGE : [...valueRange(data().traces, data().bands)]) },
    },
    axes: axesOf(setup),
    series: [
      {},
      ...setup.styles.flatMap((style, trace) =>
        seriesOf(style, setup.isStep[trace] ?? false, () => colourOf(trace)),
      ),
    ],
    bands: setup.styles.map((_, trace) => ({
      series: [trace * SERIES_PER_TRACE + 1, trace * SERIES_PER_TRACE + 2],
      fill: () => chartColour('envelope'),
    })),
    cursor: cursorOf(setup),
    hooks: {
      drawClear: [(plot) => drawBands(plot, data().bands)],
      setCursor: [(plot) => setup.onCursor(cursorMs(plot))],
      setSelect: [(plot) => pick(plot, setup)],
    },
  };
}

function cursorOf({ syncKey, onPick }: PaneSetup): uPlot.Cursor {
  return {
    y: false,
    sync: { key: syncKey, setSeries: false },
    // With shift, dragging moves the chart and is not the library's business.
    bind: { mousedown: (_plot, _target, handler) => (event) => (event.shiftKey ? null : handler(event)) },
    drag: { x: onPick !== undefined, y: false, setScale: false, dist: DRAG_PX_MIN },
    points: { show: false },
  };
}

function axesOf(setup: PaneSetup): uPlot.Axis[] {
  const common: uPlot.Axis = {
    stroke: () => chartColour('ink-soft'),
    grid: { stroke: () => chartColour('edge'), width: 1 },
    ticks: { show: false },
    font: '12px B612',
  };
  const timeTexts: AxisTexts = (...[, splits, , , step]) =>
    splits.map((seconds) =>
      setup.hasTimeAxis ? axisTimeText(seconds * MS_PER_S, step * MS_PER_S, setup.time) : '',
    );
  const valueTexts: AxisTexts = (...[, splits, , , step]) =>
    splits.map((value) => setup.axisText(value, step));
  const contactSplits = setup.isContact ? { splits: [0, 1] } : {};
  return [
    { ...common, size: setup.hasTimeAxis ? TIME_AXIS_PX : 0, space: TIME_SPACE_PX, values: timeTexts },
    {
      ...common,
      size: AXIS_PX,
      space: (...[, , , , plotPx]) => Math.max(VALUE_SPACE_PX, plotPx / VALUE_LINES_MAX),
      values: valueTexts,
      ...contactSplits,
    },
  ];
}

/** The library hands over the plot, the ticks, the axis, their space and their step. */
type AxisTexts = (...given: readonly [uPlot, readonly number[], number, number, number]) => string[];

/** Max and min are the edges of the envelope and are not stroked; mid is the line. */
function seriesOf({ dash, widthPx }: TraceStyle, isStep: boolean, colour: () => string): uPlot.Series[] {
  const paths = isStep ? STEPPED : {};
  const edge: uPlot.Series = { ...paths, stroke: 'transparent', width: 0, points: { show: false } };
  const line: uPlot.Series = {
    ...paths,
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
