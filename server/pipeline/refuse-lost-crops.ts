import { Fault } from '../contract/faults.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { Lot } from '../contract/records.ts';

/**
 * Refuses to start while a lot runs whose crop was taken out of the configuration: without its bushel there is no dose.
 *
 * @throws Fault CONFIG_REFERENCE, which names the crop and the lot.
 */
export function refuseLostCrops(crops: readonly Crop[], running: readonly Lot[]): void {
  const known = crops.map(({ id }) => id);
  const lost = running.find(({ crop }) => !known.includes(crop));
  if (lost === undefined) return;
  throw new Fault('CONFIG_REFERENCE', {
    subject: `crops, for the running lot ${lost.number} of line ${lost.line}`,
    got: `no ${lost.crop}`,
    expected: 'the crop of each running lot',
    remedy: 'put it back until that lot has ended; server not started',
  });
}
