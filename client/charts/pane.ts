import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { axisTimeText } from '../../server/contract/format/axis-time-text.ts';
import type { TimeReader } from '../../server/contract/format/time-text.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { chartColour, forgetChartColours } from './chart-colours.ts';
import { drawGround } from './draw-ground.ts';
import { drawTraces } from './draw-traces.ts';
import { NO_DATA, type PaneData } from './pane-data.ts';
import { timeTicks, zoneOffsetMs } from './time-ticks.ts';
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
  /** From the stored unit to the reader's: `value * factor + offset`. */
  readonly scale: { readonly factor: number; readonly offset: number };
  readonly axisText: (value: number, step: number) => string;
  /** Panes of one chart move their cursors together. */
  readonly syncKey: string;
  readonly onCursor: (timeMs: number | null) => void;
  /** A stretch was picked by dragging. Without it, dragging does nothing. */
  readonly onPick: ((window: TimeWindow) => void) | undefined;
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
const RIGHT_PX = 12;
const TIME_AXIS_PX = 26;
/** Least room between two labels of an axis. */
const TIME_SPACE_PX = 90;
const VALUE_SPACE_PX = 24;
/** A tall pane does not need more lines, only more room between them. */
const VALUE_LINES_MAX = 6;
const CONTACT_RANGE: [number, number] = [-0.25, 1.25];
const DRAG_PX_MIN = 5;
/** The library holds an axis and a cursor; the traces are drawn from their own columns, each with its own times. */
const ALL_TIME: uPlot.AlignedData = [
  [0, 1e11],
  [null, null],
];

export function openPane(root: HTMLElement, setup: PaneSetup): Pane {
  let data = NO_DATA;
  const range = heldRange(setup);
  const chart = new uPlot(
    optionsOf(setup, { data: () => data, range: () => range.of(data) }),
    ALL_TIME,
    root,
  );
  return {
    draw(next) {
      data = next;
      const { fromMs, toMs } = next.window;
      chart.setScale('x', { min: fromMs / MS_PER_S, max: toMs / MS_PER_S });
    },
    resize: (widthPx, heightPx) => chart.setSize({ width: widthPx, height: heightPx }),
    repaint() {
      forgetChartColours();
      chart.redraw(false, true);
    },
    close: () => chart.destroy(),
  };
}

/**
 * The range of values. It fits what is shown when other values have come; while a chart is only moved it grows and does
 * not shrink, so that the axis does not dance under the hand.
 */
function heldRange({ isContact, scale }: PaneSetup): { of(data: PaneData): [number, number] } {
  let drawn: PaneData | null = null;
  let low = 0;
  let high = 1;
  return {
    of(data) {
      if (isContact) return CONTACT_RANGE;
      if (data === drawn) return [low, high];
      const [least, most] = shownRange(data, scale);
      const isSameTraces =
        drawn !== null &&
        drawn.traces.length === data.traces.length &&
        drawn.bands === data.bands &&
        data.traces.every((trace, index) => trace.columns === drawn?.traces[index]?.columns);
      drawn = data;
      [low, high] = isSameTraces ? [Math.min(low, least), Math.max(high, most)] : [least, most];
      return [low, high];
    },
  };
}

function shownRange(
  { traces, bands, window, underShiftMs }: PaneData,
  { factor, offset }: PaneSetup['scale'],
): readonly [number, number] {
  const columns = traces.map((trace) => trace.columns);
  const [low, high] = valueRange(columns, bands, window);
  const under = traces.flatMap((trace) => (trace.under === null ? [] : [trace.under]));
  const ends = [low, high];
  if (under.length > 0) {
    const shifted = { fromMs: window.fromMs - underShiftMs, toMs: window.toMs - underShiftMs };
    ends.push(...valueRange(under, bands, shifted));
  }
  return [Math.min(...ends) * factor + offset, Math.max(...ends) * factor + offset];
}

interface Shown {
  readonly data: () => PaneData;
  readonly range: () => [number, number];
}

function optionsOf(setup: PaneSetup, shown: Shown): uPlot.Options {
  return {
    width: 300,
    height: 100,
    legend: { show: false },
    padding: [6, RIGHT_PX, setup.hasTimeAxis ? 0 : 6, 0],
    scales: { x: { time: false }, y: { range: shown.range } },
    axes: axesOf(setup, shown),
    series: [{}, { show: true, points: { show: false } }],
    cursor: cursorOf(setup),
    hooks: {
      drawClear: [(plot) => drawGround(plot, shown.data(), setup)],
      draw: [(plot) => drawTraces(plot, shown.data(), setup)],
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

function axesOf(setup: PaneSetup, shown: Shown): uPlot.Axis[] {
  const common: uPlot.Axis = {
    stroke: () => chartColour('ink-soft'),
    grid: { stroke: () => chartColour('grid'), width: 1 },
    ticks: { show: false },
    font: '12px B612',
  };
  const valueTexts: AxisTexts = (...[, splits, , , step]) =>
    splits.map((value) => setup.axisText(value, step));
  const contactSplits = setup.isContact ? { splits: [0, 1] } : {};
  return [
    { ...common, ...timeAxis(setup, shown) },
    {
      ...common,
      size: AXIS_PX,
      space: (...[, , , , plotPx]) => Math.max(VALUE_SPACE_PX, plotPx / VALUE_LINES_MAX),
      values: valueTexts,
      ...contactSplits,
    },
  ];
}

/** Ticks of the plant's clock. Worked out once a drawing: the library asks for places and for texts apart. */
function timeAxis({ hasTimeAxis, time }: PaneSetup, shown: Shown): uPlot.Axis {
  const offsetMs = zoneOffsetMs(time.timeZone);
  let stepMs = 0;
  return {
    size: hasTimeAxis ? TIME_AXIS_PX : 0,
    splits(plot) {
      const { window } = shown.data();
      const widthPx = Math.max(1, plot.bbox.width / uPlot.pxRatio);
      const ticks = timeTicks(window, ((window.toMs - window.fromMs) / widthPx) * TIME_SPACE_PX, offsetMs);
      stepMs = ticks.stepMs;
      return ticks.timeMs.map((timeMs) => timeMs / MS_PER_S);
    },
    filter: (_plot, splits) => splits,
    values: (_plot, splits) =>
      splits.map((seconds) => (hasTimeAxis ? axisTimeText(seconds * MS_PER_S, stepMs, time) : '')),
  };
}

/** The library hands over the plot, the ticks, the axis, their space and their step. */
type AxisTexts = (...given: readonly [uPlot, readonly number[], number, number, number]) => string[];

function cursorMs(plot: uPlot): number | null {
  const { left } = plot.cursor;
  return left === undefined || left < 0 ? null : Math.round(plot.posToVal(left, 'x') * MS_PER_S);
}

function pick(plot: uPlot, { onPick }: PaneSetup): void {
  const { left, width } = plot.select;
  if (onPick === undefined || width < DRAG_PX_MIN) return;
  const at = (px: number) => plot.posToVal(px, 'x') * MS_PER_S;
  onPick({ fromMs: at(left), toMs: at(left + width) });
  plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
}
