/** A thread that learns many machines, as the server's does, and says how long that took. */
import { parentPort, workerData } from 'node:worker_threads';
import { learnFleet } from '#server/machines/learn-machine.ts';
import { demoMachines } from './demo-machines.ts';
import type { AskedLearning } from './learn-apart.ts';
import { manyMachines } from './many-machines.ts';

const { plans, points } = manyMachines(await demoMachines('everything'), workerData as AskedLearning);
parentPort?.postMessage('learning');
const beganMs = performance.now();
learnFleet(points, plans);
parentPort?.postMessage((performance.now() - beganMs) / 1000);
