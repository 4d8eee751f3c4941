import type { AlarmTransition } from '../../server/contract/alarm-message.ts';
import type { CommandRequest, CommandResult } from '../../server/contract/commands.ts';
import type { ThinnedAnswer } from '../../server/contract/history-answer.ts';
import type { Refusal } from '../../server/contract/refusal.ts';
import type { PlantDescription } from '../../server/contract/plant-description.ts';

/** Every address of the server that these pages use, in one place. */

export function fetchPlant(signal: AbortSignal): Promise<PlantDescription> {
  return getJson<PlantDescription>('/api/plant', signal);
}

export interface ThinnedQuestion {
  readonly series: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

export function fetchThinned(question: ThinnedQuestion, signal: AbortSignal): Promise<ThinnedAnswer> {
  const query = new URLSearchParams(question.series.map((id) => ['series', id]));
  query.set('fromMs', String(Math.floor(question.fromMs)));
  query.set('toMs', String(Math.ceil(question.toMs)));
  query.set('buckets', String(question.buckets));
  return getJson<ThinnedAnswer>(`/api/history/thinned?${query.toString()}`, signal);
}

export function fetchJournal(
  fromMs: number,
  toMs: number,
  signal: AbortSignal,
): Promise<readonly AlarmTransition[]> {
  const query = new URLSearchParams({ fromMs: String(Math.floor(fromMs)), toMs: String(Math.ceil(toMs)) });
  return getJson<readonly AlarmTransition[]>(`/api/alarms/journal?${query.toString()}`, signal);
}

/** Rejects when the server cannot be reached; a refusal is an answer, not an error. */
export async function sendCommand(request: CommandRequest): Promise<CommandResult> {
  const response = await fetch('/api/commands', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(request),
  });
  if (response.ok) return (await response.json()) as CommandResult;
  const { error } = (await response.json()) as Refusal;
  return { done: false, refused: error };
}

async function getJson<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  const response = await fetch(address, { signal });
  if (!response.ok) throw new Error(`${address}: ${response.status}`);
  return (await response.json()) as Answer;
}
