import { STORED_STATUS } from '../../contract/stored-status.ts';
import { at, type Samples } from '../samples.ts';

/** The sample's value if it counts, else NaN: bad, stale and gap say that the value is unknown from there on. */
export function knownValue(samples: Samples, i: number): number {
  return at(samples.status, i) <= STORED_STATUS.uncertain ? at(samples.value, i) : NaN;
}
