import type { AlarmMessage, AlarmParameter, AlarmTransition } from '../alarm-message.ts';
import type { Quantity } from '../unit-code.ts';
import { ageText } from './age-text.ts';
import type { AlarmSentenceParts } from './format-words.ts';
import { numberText } from './number-text.ts';
import { quantityText, type Reader } from './quantity-text.ts';
import type { ThingNames } from './thing-names.ts';

/** What an alarm says, in the reader's units and words. */
export interface AlarmText {
  readonly title: string;
  readonly detail: string;
  readonly advice: string;
}

/** Makes the sentences of one alarm from its code and parameters. */
export function alarmText(alarm: AlarmMessage, names: ThingNames, reader: Reader): AlarmText {
  const parts = sentenceParts(alarm, names, reader);
  const sentences = reader.words.alarm[alarm.code];
  return { title: sentences.title(parts), detail: sentences.detail(parts), advice: sentences.advice(parts) };
}

/** The title of a journal line: the same words, without what only a standing alarm knows. */
export function transitionTitle(
  transition: AlarmTransition & { readonly subject: string; readonly machine: string | null },
  names: ThingNames,
  reader: Reader,
): string {
  const parts = sentenceParts({ ...transition, consequences: [] }, names, reader);
  return reader.words.alarm[transition.code].title(parts);
}

type Told = Pick<AlarmMessage, 'machine' | 'subject' | 'params' | 'consequences' | 'candidates'>;

/** The limit goes by the name of what was crossed; the first that the alarm carries is the one it means. */
const LIMIT_KEYS = ['limit', 'target'] as const;

function sentenceParts(alarm: Told, names: ThingNames, reader: Reader): AlarmSentenceParts {
  const subject = names.subject(alarm.subject);
  const value = quantityOf(alarm.params['value']);
  const limit = firstQuantity(alarm.params);
  const finest = limit === null ? null : limit.value;
  return {
    subject,
    machine: alarm.machine === null ? subject : names.machine(alarm.machine),
    value: value === null ? '' : quantityText(value, reader, finest),
    limit: limit === null ? '' : quantityText(limit, reader, finest),
    deviation: deviation(value, limit, reader),
    followers: alarm.consequences.map(({ machine }) => names.machine(machine)),
    candidates: (alarm.candidates ?? []).map((machine) => names.machine(machine)),
    followedWithin: ageText(
      Math.max(0, ...alarm.consequences.map(({ delayMs }) => delayMs)),
      reader.words.decimalMark,
    ),
  };
}

function firstQuantity(params: Readonly<Record<string, AlarmParameter>>): Quantity | null {
  for (const key of LIMIT_KEYS) {
    const found = quantityOf(params[key]);
    if (found !== null) return found;
  }
  return null;
}

function quantityOf(parameter: AlarmParameter | undefined): Quantity | null {
  return typeof parameter === 'object' ? parameter : null;
}

/** In points for shares, relative for the rest: a percentage of a percentage misleads. */
function deviation(value: Quantity | null, limit: Quantity | null, reader: Reader): string {
  if (value === null || limit === null || limit.value === 0) return '';
  const { words } = reader;
  const isShare = value.unit === '1';
  const amount = Math.abs(isShare ? value.value - limit.value : value.value / limit.value - 1) * 100;
  const text = numberText(amount, 1, words.decimalMark);
  return isShare ? words.points(text) : `${text}\u00a0%`;
}
