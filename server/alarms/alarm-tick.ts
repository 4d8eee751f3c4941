import type { Reading } from '../contract/reading.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import type { AlarmWork } from './alarm-work.ts';
import type { PremiseState } from './premise.ts';

/** The tick that is being worked on. Its records are changed in place; they belong to nobody else until it is over. */
export interface AlarmTick {
  readonly setup: AlarmSetup;
  readonly records: AlarmRecord[];
  readonly suppressions: PremiseState[];
  readonly work: AlarmWork;
  readonly latest: ReadonlyMap<string, Reading>;
  readonly endMs: number;
}
