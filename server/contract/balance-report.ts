import { Type, type Static } from 'typebox';
import { nullable } from './nullable.ts';

/** What the reconciled balance says of the instruments, most certain first. */
export const BALANCE_VERDICTS = [
  /** One instrument does not fit, and the others of its group could not explain it. */
  'instrument',
  /** One of several does not fit; the balances cannot say which. */
  'candidates',
  /** The balances do not close, and nothing that they can tell apart explains it. */
  'imbalance',
  'fits',
  /** No balance lies between measured streams: no instrument can be checked. */
  'no-redundancy',
  /** The line has not run steadily for the whole window. */
  'not-running',
] as const;
export type BalanceVerdict = (typeof BALANCE_VERDICTS)[number];

/** One stream of the balance: what its scale says, and what fits the others best. */
export const BalancedStreamSchema = Type.Object(
  {
    stream: Type.String(),
    tag: nullable(Type.String()),
    measuredKgPerH: nullable(Type.Number()),
    reconciledKgPerH: nullable(Type.Number()),
    /** Half-width of the 95 % interval of the reconciled flow. */
    uncertaintyKgPerH: nullable(Type.Number()),
    /** False where an error of its own size would stay unseen: a small reject beside a large scale. */
    isObservable: Type.Boolean(),
  },
  { $id: 'BalancedStream' },
);
export type BalancedStream = Static<typeof BalancedStreamSchema>;

/** An instrument that would explain the imbalance if it alone were wrong. */
export const SuspectSchema = Type.Object(
  {
    stream: Type.String(),
    tag: Type.String(),
    /** Of its reading; positive reads too high. */
    errorRatio: Type.Number(),
    errorRatioUncertainty: Type.Number(),
  },
  { $id: 'Suspect' },
);
export type Suspect = Static<typeof SuspectSchema>;

/** The balance of one line over a sliding window, once a minute. Measured flows are never overwritten. */
export const BalanceReportSchema = Type.Object(
  {
    line: Type.String(),
    fromMs: Type.Number(),
    toMs: Type.Number(),
    verdict: Type.Enum([...BALANCE_VERDICTS]),
    /** One for "instrument", several for "candidates", else empty. */
    suspects: Type.Array(SuspectSchema),
    /** Since when the verdict names the same; null for "fits", "no-redundancy" and "not-running". */
    sinceMs: nullable(Type.Number()),
    /** Mass in and liquid, less mass out and what bins gained, over mass in; null when unknown. */
    closureRatio: nullable(Type.Number()),
    /** Statistic of the global test and what it may reach; null without redundancy. */
    statistic: nullable(Type.Number()),
    critical: nullable(Type.Number()),
    streams: Type.Array(BalancedStreamSchema),
  },
  { $id: 'BalanceReport' },
);
export type BalanceReport = Static<typeof BalanceReportSchema>;
