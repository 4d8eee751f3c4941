/** One thread of the measurement: answers jobs one after the other, whatever they are. */
import { parentPort } from 'node:worker_threads';
import { answerOf, type Job } from './jobs.ts';

parentPort?.on('message', (job: Job) => {
  void answerOf(job).then((answer) => parentPort?.postMessage(answer));
});
