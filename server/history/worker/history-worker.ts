import { parentPort, workerData } from 'node:worker_threads';
import { openEngine, type Engine } from '../engine/engine.ts';
import { newDesk } from './desk.ts';
import { toCrossing } from './crossing-fault.ts';
import type { Answer, Question } from './messages.ts';
import type { WorkerSettings } from './worker-settings.ts';

/** The thread that owns the history file: one desk, where questions wait and are worked through in turn. */
function serve(settings: WorkerSettings): void {
  const port = parentPort;
  if (port === null) throw new Error('history-worker runs only as a worker thread');
  const post = (answer: Answer, transfer: readonly ArrayBuffer[] = []): void =>
    port.postMessage(answer, transfer);
  let engine: Engine;
  try {
    engine = opened(settings, post);
  } catch (error) {
    post({ kind: 'refused', error: toCrossing(error) });
    port.close();
    return;
  }
  const desk = newDesk({
    engine,
    post,
    soon: (work) => void setImmediate(work),
    later: (work) => setTimeout(work, IDLE_MS).unref(),
    tickMs: () => performance.now(),
    closed: () => port.close(),
  });
  port.on('message', (question: Question) => desk.take(question));
  post({ kind: 'ready' });
  desk.begin();
}

/** How often an idle store looks whether something is due; a closing thread does not wait for it. */
const IDLE_MS = 1000;

function opened(settings: WorkerSettings, post: (answer: Answer) => void): Engine {
  return openEngine({
    folder: settings.folder,
    isReadOnly: settings.isReadOnly,
    nowMs: () => Date.now(),
    tickMs: () => performance.now(),
    report: (report) => post({ kind: 'report', report }),
    reach: () => undefined,
    retention: settings.retention,
  });
}

serve(workerData as WorkerSettings);
