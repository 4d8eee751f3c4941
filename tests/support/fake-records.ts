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
