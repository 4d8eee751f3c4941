import { DRIVES } from '../logic/sequence.ts';

/** What can go wrong, what a size means, and on which targets. */
export interface LeverKind {
  readonly about: string;
  /** What a size of 1 means. */
  readonly size: string;
  readonly targets: readonly string[];
}

const WHOLE_PLANT = [''];

export const LEVER_KINDS: Readonly<Record<string, LeverKind>> = {
  'machine-stop': { about: 'a drive stops and is held', size: '1 = stopped', targets: DRIVES },
  'feed-surge': {
    about: 'the feed gate lets more through',
    size: 'share of the set feed',
    targets: WHOLE_PLANT,
  },
  'wet-lot': { about: 'the lot is wetter', size: 'kg water a kg, 0.03 = 3 points', targets: WHOLE_PLANT },
  'trashy-lot': { about: 'more trash in the lot', size: 'share more of each trash', targets: WHOLE_PLANT },
};
