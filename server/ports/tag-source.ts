import type { LinkStatus } from '../contract/link-status.ts';
import type { Reading } from '../contract/reading.ts';

/** A tag as the plant knows it. */
export interface TagAddress {
  readonly tag: string;
  readonly endpoint: string;
  /** OPC UA node in the text form of Part 6 with the namespace's URI: `nsu=<uri>;s=<id>`; resolved anew on each connection. */
  readonly node: string;
  readonly staleAfterMs: number;
  /** Multiplies what the plant sends to give the tag's unit; null leaves it. */
  readonly factor: number | null;
}

/** A stretch of time in which the link was down and the plant had no history to give back. */
export interface LinkGap {
  readonly endpoint: string;
  readonly tags: readonly string[];
  readonly fromMs: number;
  /** Null while it lasts. */
  readonly toMs: number | null;
}

/** Where a tag source delivers. None of these may throw or block; they queue. */
export interface TagSink {
  /** In order of arrival. */
  readings(batch: readonly Reading[]): void;
  /** Readings of a stretch that the live link missed, from the plant's own history; ascending for each tag. */
  backfill(batch: readonly Reading[]): void;
  /** Each time a link's state changes, and at least every 2 s while live. */
  link(status: LinkStatus): void;
  gap(gap: LinkGap): void;
}

/**
 * Readings from the plant. There is no method that writes, and no implementation may call a service of the
 * plant that does more than browse, read, subscribe or read history.
 */
export interface TagSource {
  /**
   * Begins delivering and keeps on through every outage until stopped. Resolves at once, before the plant has
   * answered. A tag that the plant refuses is delivered once as bad and reported by code. A tag that stands
   * still is read again every half of its `staleAfterMs`, which proves the held value with a new reading.
   */
  start(tags: readonly TagAddress[], sink: TagSink): void;
  /** Ends every connection; resolves within 3 s even when the plant does not answer. */
  stop(): Promise<void>;
}
