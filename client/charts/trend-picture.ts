import { axisTimeText } from '../../server/contract/format/axis-time-text.ts';
import type { Band } from '../../server/contract/figure-message.ts';
import type { TimeReader } from '../../server/contract/format/time-text.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { pathText } from './path-text.ts';
import { timeTicks, zoneOffsetMs } from './time-ticks.ts';
import { envelopeAround, gapsOf, lineThrough, spanOf, type Places } from './trace-path.ts';
import { traceStyle } from './trace-style.ts';
import { valueRange } from './value-range.ts';
import { valueTicks } from './value-ticks.ts';

export interface PictureTrace {
  readonly name: string;
  readonly columns: TrendColumns;
  readonly isStep: boolean;
}

export interface PicturePane {
  readonly traces: readonly PictureTrace[];
  readonly unit: string;
  readonly band: Band | null;
  readonly scale: { readonly factor: number; readonly offset: number };
  readonly valueText: (value: number, step: number) => string;
}

export interface PictureWords {
  readonly title: string;
  readonly footer: string;
}

export interface Picture {
  readonly window: TimeWindow;
  readonly panes: readonly PicturePane[];
  readonly time: TimeReader;
  readonly words: PictureWords;
}

/** A picture is for paper and for a mail: always the light colours, whatever the room. */
const COLOURS = {
  paper: '#ffffff',
  ink: '#1f211f',
  soft: '#55534c',
  line: '#d9d6cf',
  band: '#e9e6df',
  envelope: '#c9c7c3',
};
export const PICTURE_WIDTH = 1600;
const PANE_HEIGHT = 180;
const TOP = 56;
const BOTTOM = 64;
const LEFT = 80;
const RIGHT = 24;
const HEAD = 26;
const TIME_SPACE_PX = 110;
const PLOT_WIDTH = PICTURE_WIDTH - LEFT - RIGHT;

export function pictureHeight(panes: number): number {
  return TOP + panes * PANE_HEIGHT + BOTTOM;
}

/** What the panes show, as the text of an SVG document. */
export function pictureSvg({ window, panes, time, words }: Picture): string {
  const height = pictureHeight(panes.length);
  const leastMs = ((window.toMs - window.fromMs) / PLOT_WIDTH) * TIME_SPACE_PX;
  const ticks = timeTicks(window, leastMs, zoneOffsetMs(time.timeZone));
  const perMs = PLOT_WIDTH / (window.toMs - window.fromMs);
  const xs = ticks.timeMs.map((timeMs) => LEFT + (timeMs - window.fromMs) * perMs);
  const bottom = TOP + panes.length * PANE_HEIGHT;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${PICTURE_WIDTH} ${height}" width="${PICTURE_WIDTH}" height="${height}" font-family="B612, Verdana, sans-serif" font-size="13">`,
    `<rect width="100%" height="100%" fill="${COLOURS.paper}"/>`,
    text([LEFT, 34], words.title, `font-size="18" font-weight="700" fill="${COLOURS.ink}"`),
    ...xs.map((x) => rule([x, TOP], [x, bottom])),
    ...panes.map((pane, index) => paneSvg(pane, window, TOP + index * PANE_HEIGHT)),
    ...ticks.timeMs.map((timeMs, index) =>
      text(
        [xs[index] ?? 0, bottom + 22],
        axisTimeText(timeMs, ticks.stepMs, time),
        `text-anchor="middle" fill="${COLOURS.soft}"`,
      ),
    ),
    text([LEFT, bottom + 50], words.footer, `fill="${COLOURS.soft}"`),
    '</svg>',
  ].join('\n');
}

function paneSvg(pane: PicturePane, window: TimeWindow, top: number): string {
  const places = placesOf(pane, window, top);
  const { traces, unit, band } = pane;
  const names = traces.map(({ name }) => name).join(' · ');
  const clip = `pane-${top}`;
  return [
    `<clipPath id="${clip}"><rect x="${LEFT}" y="${top + HEAD}" width="${PLOT_WIDTH}" height="${PANE_HEIGHT - HEAD - 6}"/></clipPath>`,
    text([LEFT, top + 17], unit === '' ? names : `${names} [${unit}]`, `fill="${COLOURS.ink}"`),
    `<g clip-path="url(#${clip})">`,
    bandSvg(band, places, top),
    ...(traces.length === 1 ? traces.map(({ columns }) => gapsSvg(columns, window, { places, top })) : []),
    '</g>',
    axisSvg(pane, places, window),
    `<g clip-path="url(#${clip})">`,
    ...traces.map((trace, index) => traceSvg(trace, window, { places, index })),
    '</g>',
  ].join('\n');
}

function shownRange({ traces, band }: PicturePane, window: TimeWindow): readonly [number, number] {
  return valueRange(
    traces.map(({ columns }) => columns),
    [band],
    window,
  );
}

function placesOf(pane: PicturePane, window: TimeWindow, top: number): Places {
  const [low, high] = shownRange(pane, window);
  const perMs = PLOT_WIDTH / (window.toMs - window.fromMs);
  const perUnit = -(PANE_HEIGHT - HEAD - 6) / (high - low);
  return {
    perMs,
    xAtZero: LEFT - window.fromMs * perMs,
    perUnit,
    yAtZero: top + PANE_HEIGHT - 6 - low * perUnit,
  };
}

function bandSvg(band: Band | null, { perUnit, yAtZero }: Places, top: number): string {
  if (band === null || (band.low === null && band.high === null)) return '';
  const y = band.high === null ? top : band.high * perUnit + yAtZero;
  const end = band.low === null ? top + PANE_HEIGHT : band.low * perUnit + yAtZero;
  return `<rect x="${LEFT}" y="${y.toFixed(1)}" width="${PLOT_WIDTH}" height="${(end - y).toFixed(1)}" fill="${COLOURS.band}"/>`;
}

function gapsSvg(
  columns: TrendColumns,
  window: TimeWindow,
  { places, top }: { readonly places: Places; readonly top: number },
): string {
  const gaps = gapsOf(columns, window, (window.toMs - window.fromMs) / PLOT_WIDTH);
  return gaps
    .map(({ fromMs, toMs }) => {
      const x = fromMs * places.perMs + places.xAtZero;
      const width = (toMs - fromMs) * places.perMs;
      const stroke = `fill="none" stroke="${COLOURS.line}" stroke-dasharray="2 4"`;
      return `<rect x="${x.toFixed(1)}" y="${top + HEAD}" width="${width.toFixed(1)}" height="${PANE_HEIGHT}" ${stroke}/>`;
    })
    .join('');
}

function axisSvg(
  { scale, valueText, ...pane }: PicturePane,
  { perUnit, yAtZero }: Places,
  window: TimeWindow,
): string {
  const [low, high] = shownRange({ scale, valueText, ...pane }, window);
  const { factor, offset } = scale;
  const { values, step } = valueTicks(low * factor + offset, high * factor + offset);
  return values
    .map((value) => {
      const y = ((value - offset) / factor) * perUnit + yAtZero;
      const label = text(
        [LEFT - 10, y + 4],
        valueText(value, step),
        `text-anchor="end" fill="${COLOURS.soft}"`,
      );
      return rule([LEFT, y], [LEFT + PLOT_WIDTH, y]) + label;
    })
    .join('');
}

function traceSvg(
  { columns, isStep }: PictureTrace,
  window: TimeWindow,
  { places, index }: { readonly places: Places; readonly index: number },
): string {
  const span = spanOf(columns, window);
  const { dash, widthPx } = traceStyle(index);
  const [envelope, line] = [pathText(), pathText()];
  envelopeAround(envelope, columns, { span, places });
  lineThrough(line, columns, { span, places, isStep });
  const dashes = dash.length === 0 ? '' : ` stroke-dasharray="${dash.join(' ')}"`;
  return (
    `<path d="${envelope.text()}" fill="${COLOURS.envelope}"/>` +
    `<path d="${line.text()}" fill="none" stroke="${COLOURS.ink}" stroke-width="${widthPx}"${dashes}/>`
  );
}

function rule([x0, y0]: readonly [number, number], [x1, y1]: readonly [number, number]): string {
  return `<path d="M${x0.toFixed(1)} ${y0.toFixed(1)}L${x1.toFixed(1)} ${y1.toFixed(1)}" stroke="${COLOURS.line}"/>`;
}

function text([x, y]: readonly [number, number], said: string, attributes: string): string {
  return `<text x="${x.toFixed(1)}" y="${y.toFixed(1)}" ${attributes}>${escaped(said)}</text>`;
}

function escaped(said: string): string {
  return said
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
