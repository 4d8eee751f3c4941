/** Lets long work run one at a time, in the order of asking; work that fails does not hold up the next. */
export function inTurn(): <Answer>(work: () => Promise<Answer>) => Promise<Answer> {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const answer = last.then(work, work);
    last = answer.catch(() => undefined);
    return answer;
  };
}
