import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';

const MAIN = fileURLToPath(new URL('../../simulator/main.ts', import.meta.url));
const UPSET = fileURLToPath(new URL('../../simulator/upset.ts', import.meta.url));
const READY_WITHIN_MS = 30_000;

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

export interface SimulatorProcess {
  readonly child: ChildProcess;
  /** Ends when the process has; with everything it printed. */
  readonly ended: Promise<Ended>;
}

/** Starts the simulator as its users do; ready when it says so. */
export async function startSimulator(args: readonly string[]): Promise<SimulatorProcess> {
  const started = run(MAIN, args);
  const { stdout } = started.child;
  if (stdout === null) throw new Error('the simulator has no stdout');
  const ready = new Promise<void>((resolve, reject) => {
    const late = setTimeout(() => {
      reject(new Error('the simulator did not get ready in time'));
    }, READY_WITHIN_MS);
    stdout.on('data', (text: Buffer) => {
      if (!text.toString().includes('simulator ready opc.tcp://127.0.0.1:')) return;
      clearTimeout(late);
      resolve();
    });
  });
  await Promise.race([ready, started.ended.then(({ stderr }) => Promise.reject(new Error(stderr)))]);
  return started;
}

export function runSimulator(args: readonly string[]): Promise<Ended> {
  return run(MAIN, args).ended;
}

export function runUpset(args: readonly string[]): Promise<Ended> {
  return run(UPSET, args).ended;
}

/** A port that was free a moment ago. */
export async function freePort(): Promise<number> {
  const server = createServer();
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  return address.port;
}

function run(file: string, args: readonly string[]): SimulatorProcess {
  const child = spawn(process.execPath, [file, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  const printed = { stdout: '', stderr: '' };
  child.stdout.on('data', (text: Buffer) => (printed.stdout += text.toString()));
  child.stderr.on('data', (text: Buffer) => (printed.stderr += text.toString()));
  const ended = new Promise<Ended>((resolve) => {
    child.once('close', (code) => {
      resolve({ code, ...printed });
    });
  });
  return { child, ended };
}
