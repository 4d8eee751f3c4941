import { Link } from 'wouter';
import type { LineGraph } from '../../../server/contract/line-graph.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { minuteText } from '../../../server/contract/format/time-text.ts';
import { unknownText } from '../../../server/contract/format/unknown-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useFigure, useNow, useReader, useTimeReader } from '../../live/use-live.ts';
import { arrivalOf } from './arrival.ts';
import type { LineFigures } from './line-figures.ts';
import { useRibbonFlows } from './use-ribbon-flows.ts';

interface LineNotesProps {
  readonly graph: LineGraph;
  readonly figures: LineFigures;
}

/** What a reader must know to read the ribbon right: its scale, of what the shares are, the lag and the balance. */
export function LineNotes({ graph, figures }: LineNotesProps) {
  const { texts } = useApp();
  const isLive = useConnection().state === 'live';
  const arrival = useArrival(graph, figures);
  const closure = useClosure(figures);
  const { scale, flows } = useRibbonFlows(figures);
  const words = texts.line.note;
  const factor = scale.rejectFactor === 1 ? words.sameScale : words.factor(String(scale.rejectFactor));
  const notes = [
    `${words.width}; ${factor}`,
    figures.rejects.some((reject) => reject?.share !== undefined) ? words.shares : words.ratios,
    flows.gaps.some(({ certainty }) => certainty === 'assumed') ? words.assumed : '',
    ...(isLive ? [arrival, closure] : []),
  ];
  return (
    <p className="line-notes">
      {notes.filter(Boolean).map((note) => `${note}. `)}
      <Link href={`/balance/${graph.id}`}>{texts.figures.balance.link}</Link>
    </p>
  );
}

function useArrival(graph: LineGraph, figures: LineFigures): string {
  const { texts } = useApp();
  const now = useNow();
  const time = useTimeReader();
  const feed = useFigure(figures.feed?.id ?? null);
  const arrival = arrivalOf(graph, figures.order);
  if (arrival === null || feed?.value == null || feed.value <= 0) return '';
  const say = arrival.hasBins ? texts.line.note.arrivalWithBins : texts.line.note.arrival;
  return say(arrival.machine, minuteText(now + arrival.transportMs, time));
}

function useClosure({ closure }: LineFigures): string {
  const { texts } = useApp();
  const message = useFigure(closure?.id ?? null);
  const reader = useReader(closure?.line ?? '');
  if (closure === undefined || message === undefined) return '';
  if (message.value === null) {
    return texts.line.note.closureUnknown(unknownText(message.because ?? 'fault', reader.words));
  }
  return texts.line.note.closes(quantityText({ value: message.value, unit: closure.unit }, reader));
}
