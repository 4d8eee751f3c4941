import type { SampleStore } from '../ports/sample-store.ts';
import type { StretchReports } from '../ports/stretch-reports.ts';
import { beforeAfter } from './before-after.ts';
import { measuredStretch } from './measured-stretch.ts';

/** What can be said about stretches of the past that a store of samples keeps. */
export function stretchReports(samples: Pick<SampleStore, 'thinned'>): StretchReports {
  return {
    measured: (request, signal) => measuredStretch(samples, request, signal),
    beforeAfter: (request, signal) => beforeAfter(samples, request, signal),
  };
}
