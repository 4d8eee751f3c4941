import type { AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { LineSettings } from '../contract/line-settings.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { MachineSettings } from '../contract/machine-settings.ts';
import type { LotDetails } from '../contract/records.ts';
import type { TagDescription } from '../contract/tag-description.ts';

export interface ConfiguredEndpoint {
  readonly id: string;
  readonly url: string;
  readonly publishingIntervalMs: number;
  readonly samplingIntervalMs: number;
  readonly backfillMsMax: number;
}

/** Where the plant keeps a tag; has the shape that the field room asks for. */
export interface ConfiguredAddress {
  readonly tag: string;
  readonly endpoint: string;
  readonly node: string;
  readonly staleAfterMs: number;
  readonly factor: number | null;
}

export interface ConfiguredShift {
  readonly name: string;
  /** Minutes after local midnight at which it starts; it ends where the next one starts. */
  readonly startsMinute: number;
}

/** How long samples and rollups are kept; has the shape that the history room asks for. Null is without end. */
export interface ConfiguredRetention {
  readonly mostBytes: number | null;
  readonly classes: readonly {
    readonly kind?: 'tag' | 'figure';
    readonly interpolation?: 'step' | 'linear';
    readonly nameStartsWith?: string;
    readonly keepRawMs: number | null;
    readonly keepRollupsMs: number | null;
  }[];
}

/** What was called otherwise before; names that end in a dot are beginnings. */
export interface ConfiguredRename {
  readonly from: string;
  readonly to: string;
}

/** A plant's configuration, checked and written out in full. */
export interface PlantConfig {
  readonly name: string;
  readonly currency?: string;
  readonly timeZone: string;
  readonly shifts: readonly ConfiguredShift[];
  readonly tickMs: number;
  readonly holdBackMs: number;
  readonly retention: ConfiguredRetention;
  readonly renamed: readonly ConfiguredRename[];
  readonly endpoints: readonly ConfiguredEndpoint[];
  readonly crops: readonly Crop[];
  readonly lines: readonly LineGraph[];
  readonly settings: readonly LineSettings[];
  readonly tags: readonly TagDescription[];
  readonly addresses: readonly ConfiguredAddress[];
  readonly alarms: AlarmConfiguration;
  /** Machines whose condition is watched; null where the plant names no such file. */
  readonly machines: MachineSettings | null;
  readonly firstLots: readonly LotDetails[];
}
