import { STORED_STATUS } from '../../contract/stored-status.ts';
import type { Samples } from '../samples.ts';

/** The sample's value if it counts, else NaN: bad, stale and gap say that the value is unknown from there on. */
export function knownValue(samples: Samples, i: number): number {
  const status = samples.status[i] ?? STORED_STATUS.bad;
  return status <= STORED_STATUS.uncertain ? (samples.value[i] ?? NaN) : NaN;
}
