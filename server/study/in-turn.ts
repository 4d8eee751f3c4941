import { Fault } from '../contract/faults.ts';

/**
 * Lets long work run one at a time, in the order of asking; work that fails does not hold up the next.
 *
 * @throws Fault REQUEST_BUSY when so many are under way or waiting already
 */
export function inTurn(countMax: number): <Answer>(work: () => Promise<Answer>) => Promise<Answer> {
  let last: Promise<unknown> = Promise.resolve();
  let count = 0;
  return async (work) => {
    if (count >= countMax) throw tooMany(count, countMax);
    count += 1;
    const answer = last.then(work, work);
    last = answer.then(
      () => (count -= 1),
      () => (count -= 1),
    );
    return await answer;
  };
}

function tooMany(got: number, countMax: number): Fault {
  return new Fault('REQUEST_BUSY', {
    subject: 'replays under way',
    got,
    expected: `< ${countMax}`,
    remedy: 'ask again when one of them has ended, or use npm run replay-alarms',
  });
}
