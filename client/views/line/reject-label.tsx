import { Link } from 'wouter';
import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import { bandPlace, bandText } from '../../../server/contract/format/band-text.ts';
import type { Machine, Stream } from '../../../server/contract/line-graph.ts';
import { mostUrgentAbout } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useFigure, useReader, useStore } from '../../live/use-live.ts';
import { Bullet } from '../../parts/bullet.tsx';
import { FigureValue } from '../../parts/figure-value.tsx';
import { PriorityBar } from '../../parts/priority-bar.tsx';
import type { RejectFigures } from './reject-figures.ts';
import type { RejectPlace } from './ribbon-layout.ts';

export interface RejectShown {
  readonly machine: Machine;
  readonly streams: readonly Stream[];
  readonly figures: RejectFigures;
}

/** Below a reject: the trade's word for it, its share, and where that lies in its band. */
export function RejectLabel({
  reject,
  place,
}: {
  readonly reject: RejectShown;
  readonly place: RejectPlace;
}) {
  return (
    <li
      className={`ribbon-reject-label ribbon-row-${place.labelRow}`}
      style={{ left: place.spoutPx, width: place.labelWidthPx }}
      data-reject={reject.machine.id}
    >
      <RejectFacts reject={reject} />
    </li>
  );
}

/** The same facts for the lying and the standing ribbon. */
export function RejectFacts({ reject }: { readonly reject: RejectShown }) {
  const { texts } = useApp();
  const figure = useShownFigure(reject.figures);
  const alarms = useStore(useApp().stores.alarms);
  const name = reject.streams.map((stream) => stream.name).join(', ');
  if (figure === undefined) {
    return (
      <>
        <span>{name}</span>
        <span className="unknown soft">{texts.format.unknown['not-measured']}</span>
      </>
    );
  }
  const alarm = mostUrgentAbout(
    alarms,
    [reject.figures.share, reject.figures.ratio, reject.figures.rate].flatMap((one) =>
      one === undefined ? [] : [one.id],
    ),
  );
  return (
    <span className={`reject-facts${alarm === undefined ? '' : ` priority-${alarm.priority}`}`}>
      <span>
        <Link className="reject-name" href={`/figure/${figure.id}`} title={texts.figures.why}>
          {name}
        </Link>
        {figure.kind === 'reject-ratio' && (
          <span className="unseen"> {texts.line.ofOwnFeed(reject.machine.name)}</span>
        )}
      </span>
      <span className="reject-value">
        {alarm !== undefined && <PriorityBar priority={alarm.priority} />}
        <FigureValue figure={figure} isShort />
      </span>
      <RejectBand
        figure={figure}
        word={alarm === undefined ? '' : texts.line.alarmOf(texts.format.priority[alarm.priority])}
      />
    </span>
  );
}

/** Bullet, band and, when it is outside, the word for it. */
function RejectBand({ figure, word }: { readonly figure: FigureDescription; readonly word: string }) {
  const { texts } = useApp();
  const message = useFigure(figure.id);
  const reader = useReader(figure.line);
  const isLost = useConnection().state === 'lost';
  if (message?.band == null) return null;
  const { value, band } = message;
  const place = value === null ? 'no-band' : bandPlace(value, band);
  const outside = place === 'above' ? texts.line.aboveBand : place === 'below' ? texts.line.belowBand : '';
  return (
    <>
      {value !== null && !isLost && <Bullet value={value} band={band} />}
      <span className="reject-band">{bandText(band, figure.unit, reader)}</span>
      {!isLost && <span className="reject-word">{word === '' ? outside : word}</span>}
    </>
  );
}

/** The share of the line's feed where there is one; the ratio if it alone has a band. */
function useShownFigure({ share, ratio }: RejectFigures): FigureDescription | undefined {
  const hasShareBand = useHasBand(share);
  const hasRatioBand = useHasBand(ratio);
  if (share === undefined) return ratio;
  return !hasShareBand && hasRatioBand ? ratio : share;
}

function useHasBand(figure: FigureDescription | undefined): boolean {
  const message = useFigure(figure?.id ?? null);
  return message !== undefined && message.band !== null;
}
