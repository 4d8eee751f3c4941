import type { AlarmMessage, AlarmTransition } from '../contract/alarm-message.ts';
import type { RecordStore } from '../ports/record-store.ts';

/** Days of alarms; beyond it the oldest entries are given up, while how the alarms stand is kept. */
const WAITING_COUNT_MAX = 10_000;

/** What happened to alarms, kept until the records have it, so that a full disk costs no entry. */
export class AlarmJournal {
  readonly #records: RecordStore;
  #transitions: readonly AlarmTransition[] = [];
  #alarms: ReadonlyMap<string, AlarmMessage> = new Map();

  constructor(records: RecordStore) {
    this.#records = records;
  }

  /** Resolves when these and all that waited are durable. Rejects when the records fail: they wait for the next call. */
  async keep(transitions: readonly AlarmTransition[], changed: readonly AlarmMessage[]): Promise<void> {
    this.#transitions = [...this.#transitions, ...transitions].slice(-WAITING_COUNT_MAX);
    this.#alarms = new Map([...this.#alarms, ...changed.map((alarm) => [alarm.id, alarm] as const)]);
    if (this.#transitions.length === 0 && this.#alarms.size === 0) return;
    await this.#records.journalAlarms(this.#transitions, [...this.#alarms.values()]);
    this.#transitions = [];
    this.#alarms = new Map();
  }
}
