import type { UnknownReason } from '../../calc/unknown-reason.ts';
import type { AlarmCode, AlarmState, Priority } from '../alarm-message.ts';
import type { FigureKind, FigureWindow } from '../figure-message.ts';
import type { Quality } from '../reading.ts';

/** What an alarm's sentences may speak of; a part is empty when the alarm does not carry it. */
export interface AlarmSentenceParts {
  /** The tag's or figure's name, as a title starts. */
  readonly subject: string;
  /** The machine's name; the subject again where there is none. */
  readonly machine: string;
  readonly value: string;
  /** The limit, band edge or target that was crossed, with its unit. */
  readonly limit: string;
  /** How far from the target, for example "5.8 %"; empty unless both are known. */
  readonly deviation: string;
  /** Machines that stopped after this one, and the longest time after it. */
  readonly followers: readonly string[];
  readonly followedWithin: string;
  /** Machines of which one stopped first, where it cannot be told which. */
  readonly candidates: readonly string[];
}

export interface AlarmSentences {
  title(parts: AlarmSentenceParts): string;
  detail(parts: AlarmSentenceParts): string;
  /** What to do first. General by nature: the site's own procedure goes before it. */
  advice(parts: AlarmSentenceParts): string;
}

/** Every word that quantities, reasons and alarms need. One file for each language. */
export interface FormatWords {
  /** A BCP 47 tag, for dates. */
  readonly locale: string;
  readonly decimalMark: string;
  readonly contactOn: string;
  readonly contactOff: string;
  readonly contactUnit: string;
  atMost(edge: string): string;
  atLeast(edge: string): string;
  target(value: string): string;
  over(amount: string): string;
  under(amount: string): string;
  points(amount: string): string;
  readonly onTarget: string;
  readonly quality: Readonly<Record<Quality, string>>;
  readonly priority: Readonly<Record<Priority, string>>;
  readonly alarmState: Readonly<Record<AlarmState, string>>;
  readonly alarm: Readonly<Record<AlarmCode, AlarmSentences>>;
  /** Short, to stand where the number would: "line stopped". */
  readonly unknown: Readonly<Record<UnknownReason, string>>;
  /** The whole sentence: what it means and what brings the number back. */
  readonly unknownSentence: Readonly<Record<UnknownReason, string>>;
  readonly figureKind: Readonly<Record<FigureKind, string>>;
  readonly figureWindow: Readonly<Record<FigureWindow, string>>;
  shareOf(name: string): string;
  ratioOf(name: string, machine: string): string;
  productDose(product: string): string;
  /** A kind of figure of one of several streams or products. */
  ofThing(kind: string, thing: string): string;
}
