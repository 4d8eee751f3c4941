import type { ThingNames } from '../../../server/contract/format/thing-names.ts';
import type { Texts } from '../../texts/en.ts';

const SCATTER = /^scatter (\S+)( earlier)?$/;

/** What makes a figure uncertain, in words: an instrument, how its readings scatter, or something of the line. */
export function causeText(cause: string, names: ThingNames, words: Texts['figures']): string {
  const [, scattering, earlier] = SCATTER.exec(cause) ?? [];
  if (scattering !== undefined) {
    const name = names.subject(scattering);
    return earlier === undefined ? words.scatterOf(name) : words.earlierScatterOf(name);
  }
  return words.otherCauses[cause] ?? names.subject(cause);
}
