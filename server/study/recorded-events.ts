import type { UnknownReason } from '../calc/unknown-reason.ts';
import type { Quality } from '../contract/reading.ts';
import { STORED_STATUS, unknownReason } from '../contract/stored-status.ts';
import type { RawColumns, SampleAt, SampleStore, SeriesId } from '../ports/sample-store.ts';

/** A tag or figure as the history has it. */
export interface RecordedSubject {
  readonly name: string;
  readonly kind: 'tag' | 'figure';
  readonly series: SeriesId;
  /** A value is believed for this long; null for ever. */
  readonly heldMs: number | null;
}

/** What a tag or figure said at one instant. */
export interface RecordedEvent {
  readonly subject: RecordedSubject;
  readonly timeMs: number;
  readonly value: number | null;
  readonly quality: Quality;
  readonly because: UnknownReason | null;
}

/** How the history knows these tags and figures; those it has never heard of are left out. */
export async function recordedSubjects(
  samples: SampleStore,
  names: ReadonlySet<string>,
): Promise<readonly RecordedSubject[]> {
  const inForce = (await samples.catalogue()).filter(({ validToMs }) => validToMs === null);
  return inForce
    .filter(({ name }) => names.has(name))
    .map(({ name, kind, series, heldMs }) => ({ name, kind, series, heldMs }));
}

/**
 * Everything that some subjects said, in ascending time, a window at a time.
 *
 * A value that nothing has renewed for as long as it is believed is followed by an event that says so: without it a
 * time in which nobody watched would count as one in which everything stood still.
 */
export async function* recordedEvents(
  samples: SampleStore,
  asked: {
    readonly subjects: readonly RecordedSubject[];
    readonly fromMs: number;
    readonly toMs: number;
    readonly windowMs: number;
  },
  signal: AbortSignal,
): AsyncGenerator<readonly RecordedEvent[], undefined> {
  const { subjects, fromMs, toMs, windowMs } = asked;
  const last = new Map<SeriesId, RecordedEvent>();
  const bySeries = new Map(subjects.map((subject) => [subject.series, subject]));
  const opening = (await samples.valuesAt([...bySeries.keys()], fromMs - 1)).flatMap((sample) =>
    openingEvents(bySeries.get(sample.series), sample, fromMs),
  );
  for (const event of opening) last.set(event.subject.series, event);
  let before: readonly RecordedEvent[] = opening;
  for (let startMs = fromMs; startMs < toMs; startMs += windowMs) {
    const window = { fromMs: startMs, toMs: Math.min(startMs + windowMs, toMs) };
    const events = [...before];
    before = [];
    for await (const columns of samples.raw({ series: [...bySeries.keys()], ...window }, signal)) {
      const subject = bySeries.get(columns.series);
      if (subject === undefined) continue;
      addColumns(events, last, { subject, columns });
    }
    for (const subject of subjects) addExpiry(events, last, { subject, untilMs: window.toMs });
    yield events.sort((a, b) => a.timeMs - b.timeMs);
  }
}

/** What stood when the time began, if it is still believed then. */
function openingEvents(
  subject: RecordedSubject | undefined,
  sample: SampleAt,
  fromMs: number,
): readonly RecordedEvent[] {
  if (subject === undefined) return [];
  const event = eventOf(subject, sample);
  return isExpired(event, fromMs) ? [] : [{ ...event, timeMs: fromMs }];
}

function addColumns(
  events: RecordedEvent[],
  last: Map<SeriesId, RecordedEvent>,
  { subject, columns }: { readonly subject: RecordedSubject; readonly columns: RawColumns },
): void {
  for (const [index, timeMs] of columns.timeMs.entries()) {
    const [value, status, reason] = [columns.value[index], columns.status[index], columns.reason[index]];
    const event = eventOf(subject, { timeMs, value: value ?? NaN, status: status ?? 0, reason: reason ?? 0 });
    addExpiry(events, last, { subject, untilMs: timeMs });
    events.push(event);
    last.set(subject.series, event);
  }
}

/** Adds the event that says that a value is not believed any more, where that was so before `untilMs`. */
function addExpiry(
  events: RecordedEvent[],
  last: Map<SeriesId, RecordedEvent>,
  { subject, untilMs }: { readonly subject: RecordedSubject; readonly untilMs: number },
): void {
  const event = last.get(subject.series);
  if (event === undefined || event.value === null || !isExpired(event, untilMs)) return;
  const timeMs = event.timeMs + (subject.heldMs ?? 0) + 1;
  const because = subject.kind === 'tag' ? 'tag-stale' : 'link-down';
  const expiry: RecordedEvent = { subject, timeMs, value: null, quality: 'stale', because };
  events.push(expiry);
  last.set(subject.series, expiry);
}

function isExpired({ subject, timeMs }: RecordedEvent, atMs: number): boolean {
  return subject.heldMs !== null && timeMs + subject.heldMs < atMs - 1;
}

type Stored = Pick<SampleAt, 'timeMs' | 'value' | 'status' | 'reason'>;

/**
 * Readings marked late count like all others: after a reconnect the plant says again when a contact moved last, and
 * that overwrites, as late, what had come in time.
 */
function eventOf(subject: RecordedSubject, { timeMs, value, status, reason }: Stored): RecordedEvent {
  const known = status === STORED_STATUS.gap || Number.isNaN(value) ? null : value;
  const because = known === null ? (unknownReason(reason) ?? unwritten(subject, status)) : null;
  return { subject, timeMs, value: known, quality: qualityOf(status), because };
}

function unwritten({ kind }: RecordedSubject, status: number): UnknownReason {
  if (status === STORED_STATUS.gap) return 'link-down';
  return kind === 'tag' ? 'tag-bad' : 'fault';
}

const QUALITIES: readonly Quality[] = ['good', 'uncertain', 'bad', 'stale'];

function qualityOf(status: number): Quality {
  return QUALITIES[status] ?? 'bad';
}
