/** Things to do at true instants, worked through in order of time, then of scheduling. */
export interface Agenda {
  readonly due: Due[];
  scheduled: number;
}

export type Action = (atMs: number) => void;

interface Due {
  readonly atMs: number;
  readonly order: number;
  readonly run: Action;
}

export function createAgenda(): Agenda {
  return { due: [], scheduled: 0 };
}

export function schedule(agenda: Agenda, atMs: number, run: Action): void {
  agenda.scheduled += 1;
  const after = agenda.due.findIndex((other) => other.atMs > atMs);
  agenda.due.splice(after === -1 ? agenda.due.length : after, 0, { atMs, order: agenda.scheduled, run });
}

/** Does all that is due before `untilMs`, also what is scheduled meanwhile. */
export function workThrough(agenda: Agenda, untilMs: number): void {
  for (let next = agenda.due[0]; next !== undefined && next.atMs < untilMs; next = agenda.due[0]) {
    agenda.due.shift();
    next.run(next.atMs);
  }
}
