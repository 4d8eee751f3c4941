import { stampText } from '../../../server/contract/format/time-text.ts';
import { unitText } from '../../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../../server/contract/format/reader-quantity.ts';
import type { ChartFeed } from '../../charts/chart-feed.ts';
import { axisText } from '../../charts/axis-text.ts';
import { PICTURE_WIDTH, pictureHeight, pictureSvg, type PicturePane } from '../../charts/trend-picture.ts';
import { useInterpolationOf, useUnitOf } from '../../charts/use-series-facts.ts';
import { useApp } from '../../live/app-context.ts';
import { EMPTY_COLUMNS } from '../../live/trend-columns.ts';
import { useNames, useReader, useTimeReader } from '../../live/use-live.ts';

interface Shown {
  readonly line: string;
  readonly panes: readonly (readonly string[])[];
  readonly feed: ChartFeed;
}

const SHARPNESS = 2;

/** Saves what the panes show as a picture. */
export function useTakePicture({ line, panes, feed }: Shown): (form: 'png' | 'svg') => void {
  const { texts, plant, stores } = useApp();
  const names = useNames();
  const reader = useReader(line);
  const time = useTimeReader();
  const unitOf = useUnitOf();
  const interpolationOf = useInterpolationOf();
  const paneOf = (series: readonly string[]): PicturePane => {
    const { columns } = feed.state.get();
    const unit = unitOf(series[0] ?? '');
    const band = series.length === 1 ? (stores.figures.get(series[0] ?? '')?.band ?? null) : null;
    return {
      unit: unitText(unit, reader),
      band,
      scale: readerScale(unit, reader),
      valueText: axisText(unit, reader),
      traces: series.map((id) => ({
        name: names.subject(id),
        columns: columns.get(id) ?? EMPTY_COLUMNS,
        isStep: interpolationOf(id) === 'step',
      })),
    };
  };
  return (form) => {
    const { fromMs, toMs } = feed.state.get();
    const stretch = `${stampText(fromMs, time)} – ${stampText(toMs, time)}`;
    const words = {
      title: `${plant.name} · ${stretch}`,
      footer: texts.trends.take.footer(texts.product, plant.timeZone),
    };
    const svg = pictureSvg({ window: { fromMs, toMs }, panes: panes.map(paneOf), time, words });
    const name = `trends-${new Date(fromMs).toISOString().replaceAll(/[:.]/g, '-')}`;
    if (form === 'svg') save(new Blob([svg], { type: 'image/svg+xml' }), `${name}.svg`);
    else savePng(svg, pictureHeight(panes.length), `${name}.png`);
  };
}

/** The browser itself draws the vector picture onto a canvas. */
function savePng(svg: string, height: number, name: string): void {
  const image = new Image();
  image.onload = () => {
    const canvas = document.createElement('canvas');
    canvas.width = PICTURE_WIDTH * SHARPNESS;
    canvas.height = height * SHARPNESS;
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    canvas.toBlob((blob) => {
      if (blob !== null) save(blob, name);
    }, 'image/png');
  };
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
}

function save(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  URL.revokeObjectURL(address);
}
