import type { AlarmCatalogue } from '../../server/contract/alarm-catalogue.ts';
import type { AlarmMeasures, ShiftMeasures } from '../../server/contract/alarm-measures.ts';
import type { AlarmTransition } from '../../server/contract/alarm-message.ts';
import type { ReplayAnswer, ReplayRequest } from '../../server/contract/alarm-replay.ts';
import type { BalanceReport } from '../../server/contract/balance-report.ts';
import type { CommandRequest, CommandResult } from '../../server/contract/commands.ts';
import type { FigureProvenance } from '../../server/contract/figure-provenance.ts';
import type { ThinnedAnswer } from '../../server/contract/history-answer.ts';
import type { Lot, Mark, Shift } from '../../server/contract/records.ts';
import type { LagReport } from '../../server/contract/lag-report.ts';
import type { MachinePage, MachinesAnswer } from '../../server/contract/machine-standing.ts';
import type { Refusal } from '../../server/contract/refusal.ts';
import type { BeforeAfterAnswer, MeasuredAnswer } from '../../server/contract/stretch-answer.ts';
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

/** What is kept beside samples, within a stretch of time. */
export function fetchRecords<Kind extends keyof RecordKinds>(
  kind: Kind,
  stretch: TimeStretch,
  signal: AbortSignal,
): Promise<readonly RecordKinds[Kind][]> {
  return getJson<readonly RecordKinds[Kind][]>(`/api/${kind}?${rangeOf(stretch).toString()}`, signal);
}

interface RecordKinds {
  readonly lots: Lot;
  readonly shifts: Shift;
  readonly marks: Mark;
  readonly 'alarms/journal': AlarmTransition;
}

interface TimeStretch {
  readonly fromMs: number;
  readonly toMs: number;
}

function rangeOf({ fromMs, toMs }: TimeStretch): URLSearchParams {
  return new URLSearchParams({
    fromMs: String(Math.max(0, Math.floor(fromMs))),
    toMs: String(Math.ceil(toMs)),
  });
}

export function fetchJournal(
  fromMs: number,
  toMs: number,
  signal: AbortSignal,
): Promise<readonly AlarmTransition[]> {
  return getJson<readonly AlarmTransition[]>(`/api/alarms/journal?${rangeQuery(fromMs, toMs)}`, signal);
}

export function fetchAlarmCatalogue(signal: AbortSignal): Promise<AlarmCatalogue> {
  return getJson<AlarmCatalogue>('/api/alarms/catalogue', signal);
}

export function fetchAlarmMeasures(
  fromMs: number,
  toMs: number,
  signal: AbortSignal,
): Promise<AlarmMeasures> {
  return getJson<AlarmMeasures>(`/api/alarms/measures?${rangeQuery(fromMs, toMs)}`, signal);
}

export function fetchShiftMeasures(
  fromMs: number,
  toMs: number,
  signal: AbortSignal,
): Promise<readonly ShiftMeasures[]> {
  return getJson<readonly ShiftMeasures[]>(`/api/alarms/measures/shifts?${rangeQuery(fromMs, toMs)}`, signal);
}

export function journalExportAddress(fromMs: number, toMs: number): string {
  return `/api/alarms/journal/export?${rangeQuery(fromMs, toMs)}`;
}

export function fetchProvenance(figure: string, signal: AbortSignal): Promise<FigureProvenance> {
  return getJson<FigureProvenance>(`/api/figures/${encodeURIComponent(figure)}/provenance`, signal);
}

export function fetchBalances(signal: AbortSignal): Promise<readonly BalanceReport[]> {
  return getJson<readonly BalanceReport[]>('/api/balances', signal);
}

export function fetchLags(signal: AbortSignal): Promise<readonly LagReport[]> {
  return getJson<readonly LagReport[]>('/api/lags', signal);
}

export function fetchMachines(signal: AbortSignal): Promise<MachinesAnswer> {
  return getJson<MachinesAnswer>('/api/machines', signal);
}

export function fetchMachinePage(
  machine: string,
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
  signal: AbortSignal,
): Promise<MachinePage> {
  return getJson<MachinePage>(
    `/api/machines/${encodeURIComponent(machine)}?${rangeQuery(fromMs, toMs)}`,
    signal,
  );
}

export const WORK_LIST_ADDRESS = '/api/machines/work-list';

/** Rejects with a `RefusedError` when the proposal is refused, its message saying where and why. */
export async function replayRules(request: ReplayRequest, signal: AbortSignal): Promise<ReplayAnswer> {
  const response = await fetch('/api/alarms/replay', { ...asJson(request), signal });
  if (response.ok) return (await response.json()) as ReplayAnswer;
  throw new RefusedError(((await response.json()) as Refusal).error);
}

/** The server understood and would not. */
export class RefusedError extends Error {}

function rangeQuery(fromMs: number, toMs: number): string {
  return new URLSearchParams({
    fromMs: String(Math.floor(fromMs)),
    toMs: String(Math.ceil(toMs)),
  }).toString();
}

function asJson(body: unknown): RequestInit {
  return { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) };
}

/** Figures of a stretch of time: mean, spread, slope, total. */
export function fetchMeasured(
  series: readonly string[],
  stretch: TimeStretch,
  signal: AbortSignal,
): Promise<MeasuredAnswer> {
  return getJson<MeasuredAnswer>(`/api/history/measured?${seriesAnd(series, rangeOf(stretch))}`, signal);
}

export interface BeforeAfterQuestion {
  readonly series: readonly string[];
  readonly atMs: number;
  readonly spanMs: number;
  readonly settleMs: number;
}

export function fetchBeforeAfter(
  { series, ...rest }: BeforeAfterQuestion,
  signal: AbortSignal,
): Promise<BeforeAfterAnswer> {
  const query = Object.entries(rest).map(([name, value]) => [name, String(Math.round(value))]);
  return getJson<BeforeAfterAnswer>(
    `/api/history/before-after?${seriesAnd(series, new URLSearchParams(query))}`,
    signal,
  );
}

function seriesAnd(series: readonly string[], rest: URLSearchParams): string {
  return new URLSearchParams([...series.map((id) => ['series', id]), ...rest]).toString();
}

/** Where every sample of a stretch can be taken away from, as a file. */
export function exportAddress(
  series: readonly string[],
  stretch: TimeStretch,
  format: 'csv' | 'parquet',
): string {
  const rest = rangeOf(stretch);
  rest.set('format', format);
  return `/api/history/export?${seriesAnd(series, rest)}`;
}

/** Rejects when the server cannot be reached; a refusal is an answer, not an error. */
export async function sendCommand(request: CommandRequest): Promise<CommandResult> {
  const response = await fetch('/api/commands', asJson(request));
  if (response.ok) return (await response.json()) as CommandResult;
  const { error } = (await response.json()) as Refusal;
  return { done: false, refused: error };
}

async function getJson<Answer>(address: string, signal: AbortSignal): Promise<Answer> {
  const response = await fetch(address, { signal });
  if (!response.ok) throw new Error(`${address}: ${response.status}`);
  return (await response.json()) as Answer;
}
