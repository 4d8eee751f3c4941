import { Fault } from '../../contract/faults.ts';
import { gotText } from '../misfit.ts';
import type { KeptSeries, WebOptions } from '../web-options.ts';

export interface NamedSeries extends KeptSeries {
  readonly name: string;
}

/**
 * The series of these names, each once.
 *
 * @throws Fault REQUEST_UNKNOWN for the first name that has none
 */
export function knownSeries(
  names: readonly string[],
  seriesOf: WebOptions['seriesOf'],
): readonly NamedSeries[] {
  return [...new Set(names)].map((name) => {
    const kept = seriesOf(name);
    if (kept !== undefined) return { ...kept, name };
    throw new Fault('REQUEST_UNKNOWN', {
      subject: 'query.series',
      got: gotText(name),
      expected: 'a tag or figure that /api/plant lists',
      remedy: 'leave it out, or load the page again if the plant’s configuration has changed',
    });
  });
}
