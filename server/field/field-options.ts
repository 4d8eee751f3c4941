import type { Clock } from '../ports/clock.ts';

/** One OPC UA server of the plant and how to listen to it. */
export interface EndpointOptions {
  readonly id: string;
  /** `opc.tcp://host:port/path` */
  readonly url: string;
  /** How often the plant is asked to send; it may revise this, the revised value is logged. */
  readonly publishingIntervalMs: number;
  /** How often the plant is asked to look at each value: a quarter of the fastest change or less. */
  readonly samplingIntervalMs: number;
  /** How far back the plant's history is asked for what was missed; 0 never asks. */
  readonly backfillMsMax: number;
}

export interface FieldOptions {
  readonly endpoints: readonly EndpointOptions[];
  readonly clock: Clock;
  readonly log: (text: string) => void;
  /** Where the library keeps its key, certificate and trust list: in the data folder, never in the tree. */
  readonly pkiFolder: string;
  /**
   * Source time of the newest reading already kept of a tag, or null when there is none. Asked once for each
   * tag, before the first attempt to connect: from there on the plant's history is asked for what is missing.
   */
  readonly recordedUntilMs: (tag: string) => number | null;
}
