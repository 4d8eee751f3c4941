import { describe, expect, it } from 'vitest';
import { exactEstimate, unknownEstimate } from '#server/line/estimate.ts';
import { unlessLagDecides } from '#server/line/unless-lag-decides.ts';

const share = (lagHalf: number) => ({
  ...exactEstimate(0.86),
  causes: [
    { cause: 'scale', half: 0.05 },
    { cause: 'lag', half: lagHalf },
  ],
});

describe('unlessLagDecides', () => {
  it('lets a share through that the lag moves by a point or less, either way', () => {
    expect(unlessLagDecides(share(0.01))).toEqual(share(0.01));
    expect(unlessLagDecides(share(-0.01))).toEqual(share(-0.01));
  });

  it('takes a share that the lag moves by more as none', () => {
    expect(unlessLagDecides(share(0.0101))).toEqual(unknownEstimate('line-stopped'));
    expect(unlessLagDecides(share(-0.2))).toEqual(unknownEstimate('line-stopped'));
  });

  it('does not judge by what the scales make uncertain, nor where no error is stated', () => {
    expect(unlessLagDecides({ ...share(0), causes: [{ cause: 'scale', half: 0.5 }] }).known).toBe(true);
    expect(unlessLagDecides({ ...exactEstimate(0.86), causes: null }).known).toBe(true);
  });

  it('hands on why a share is unknown', () => {
    expect(unlessLagDecides(unknownEstimate('tag-bad'))).toEqual(unknownEstimate('tag-bad'));
  });
});
