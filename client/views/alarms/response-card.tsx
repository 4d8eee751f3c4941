import { Link } from 'wouter';
import type { AlarmCatalogue } from '../../../server/contract/alarm-catalogue.ts';
import type { AlarmMessage } from '../../../server/contract/alarm-message.ts';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { alarmText } from '../../../server/contract/format/alarm-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useReader } from '../../live/use-live.ts';
import { PriorityBar } from '../../parts/priority-bar.tsx';
import { useCatalogue } from '../../live/use-catalogue.ts';

/** What the chosen alarm means and what to do about it, in the plant's own words. */
export function ResponseCardPanel({ alarm }: { readonly alarm: AlarmMessage | null }) {
  const words = useApp().texts.alarms.card;
  const { answer, state } = useCatalogue();
  if (alarm === null) return <p className="alarms-note">{words.choose}</p>;
  if (state === 'failed') return <p className="alarms-note">{words.failed}</p>;
  if (answer === null) return null;
  return <Card alarm={alarm} catalogue={answer} />;
}

interface CardProps {
  readonly alarm: AlarmMessage;
  readonly catalogue: AlarmCatalogue;
}

function Card({ alarm, catalogue }: CardProps) {
  const { texts } = useApp();
  const words = texts.alarms.card;
  const names = useNames();
  const reader = useReader(alarm.line);
  const text = alarmText(alarm, names, reader);
  const card = alarm.card === undefined ? undefined : catalogue.cards[alarm.card];
  return (
    <article className={`response priority-${alarm.priority}`} aria-label={text.title}>
      <div className="response-head">
        <PriorityBar priority={alarm.priority} />
        <h3 className="alarm-title">{text.title}</h3>
        {card !== undefined && (
          <p className="number">{words.within(ageText(card.respondWithinMs, texts.format.decimalMark))}</p>
        )}
      </div>
      <p>{text.detail}</p>
      <SuppressedNote alarm={alarm} catalogue={catalogue} />
      {card === undefined ? (
        <p className="soft">{words.none}</p>
      ) : (
        <div className="response-parts">
          <Part title={words.actions} items={card.actions} isOrdered />
          <Part title={words.causes} items={card.causes} />
          <Part title={words.consequence} items={[card.consequence]} />
        </div>
      )}
      <p className="response-ways">
        <Link className="button" href={`/trends?show=${encodeURIComponent(alarm.subject)}`}>
          {words.openTrend}
        </Link>
        <Link className="button" href="/">
          {words.openLine}
        </Link>
      </p>
      <p className="soft">{words.firstCaution}</p>
    </article>
  );
}

function SuppressedNote({ alarm, catalogue }: CardProps) {
  const words = useApp().texts.alarms;
  const reasons = catalogue.suppressions
    .filter(({ id }) => alarm.suppressedBy?.includes(id) ?? false)
    .map(({ reason }) => reason);
  return reasons.map((reason) => <p key={reason}>{words.suppressedBecause(reason)}</p>);
}

interface PartProps {
  readonly title: string;
  readonly items: readonly string[];
  readonly isOrdered?: boolean;
}

function Part({ title, items, isOrdered = false }: PartProps) {
  const List = isOrdered ? 'ol' : 'ul';
  return (
    <section className={isOrdered ? 'response-part response-do' : 'response-part'}>
      <h4>{title}</h4>
      <List>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </List>
    </section>
  );
}
