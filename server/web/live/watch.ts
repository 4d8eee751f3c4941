import { Compile } from 'typebox/compile';
import { Fault } from '../../contract/faults.ts';
import { WatchRequestSchema } from '../../contract/socket-events.ts';
import { misfit } from '../misfit.ts';

/** What one client wants to be told. */
export interface Watch {
  readonly figures: ReadonlySet<string>;
  readonly tags: ReadonlySet<string>;
  readonly alarms: boolean;
  /** The same for all who watch the same, however they wrote it: they are told the same bytes. */
  readonly key: string;
}

const check = Compile(WatchRequestSchema);

/**
 * A client's wish, from whatever it sent.
 *
 * @throws Fault REQUEST_INVALID
 */
export function watchFrom(request: unknown): Watch {
  if (!check.Check(request)) throw new Fault('REQUEST_INVALID', misfit(WatchRequestSchema, request, 'watch'));
  const figures = new Set(request.figures);
  const tags = new Set(request.tags);
  const key = JSON.stringify([[...figures].sort(), [...tags].sort(), request.alarms]);
  return { figures, tags, alarms: request.alarms, key };
}
