import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { LinkStatus } from '#server/contract/link-status.ts';
import type { Lot, Shift } from '#server/contract/records.ts';
import type { LiveChanges } from '#server/contract/socket-events.ts';
import { BUSHEL_KG } from './fake-line.ts';

/** 14:06:31 in the plant's time zone. */
export const FEED_START_MS = Date.UTC(2026, 8, 14, 19, 6, 31);

/** A link that is live since then, or as told. */
export function fakeLink(sinceMs: number, more: Partial<LinkStatus> = {}): LinkStatus {
  const url = 'opc.tcp://127.0.0.1:4840';
  return {
    endpoint: 'plant',
    url,
    state: 'live',
    sinceMs,
    lastHeardMs: null,
    clockOffsetMs: 12,
    because: null,
    ...more,
  };
}

export const NOTHING_CHANGED: LiveChanges = {
  timeMs: 0,
  figures: [],
  readings: [],
  alarms: [],
  links: [],
  recording: null,
  flood: null,
  lots: null,
  shifts: null,
  hasMissed: false,
};

const WRITTEN = {
  id: 1,
  writtenBy: { id: 'Operator 3', role: 'operator' },
  writtenMs: FEED_START_MS - 9_000_000,
} as const;

export const FAKE_LOT: Lot = {
  ...WRITTEN,
  line: 'a',
  number: 'QM-0417',
  crop: 'soybean',
  massKgPlanned: 1850 * BUSHEL_KG,
  testWeightKgPerHl: 57.4 * 1.287_185_978,
  route: 'route B',
  treatmentPlan: 'plan 2',
  products: [],
  startedMs: FEED_START_MS - 9_000_000,
  endedMs: null,
};

export const FAKE_SHIFT: Shift = {
  ...WRITTEN,
  line: 'a',
  name: 'Day shift',
  startedMs: FEED_START_MS - 25_000_000,
  endedMs: null,
};

/** Readings are kept, and always were. */
export const ALL_KEPT = {
  isRecording: true,
  sinceMs: FEED_START_MS,
  waitingCount: 0,
  lostCount: 0,
  because: null,
};
export const NO_FLOOD = { sinceMs: null, count: 0 };

type Given = Pick<FigureMessage, 'id' | 'timeMs' | 'value' | 'because' | 'band'>;

/** A figure as a plant sends it whose instruments' errors nobody has stated. */
export function fakeFigure({ value, because, ...rest }: Given): FigureMessage {
  return {
    ...rest,
    value,
    because: value === null ? (because ?? 'not-measured') : null,
    quality: value === null ? 'bad' : 'good',
    uncertainty: null,
    coveredRatio: null,
  };
}
