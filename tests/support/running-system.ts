import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';

const ROOT = join(import.meta.dirname, '../..');
/** Real processes on a loaded machine: generous, since reaching it is a failure. */
const READY_MS = 60_000;

/** A child process that said it was ready. */
export interface Started {
  readonly address: string;
  readonly pid: number;
  /** `SIGKILL` unless said otherwise; resolves when it has gone. */
  end(signal?: NodeJS.Signals): Promise<number | null>;
}

export interface System {
  /** Where the simulator writes what really flowed. */
  readonly truth: string;
  readonly config: string;
  readonly data: string;
  startSimulator(args?: readonly string[]): Promise<Started>;
  /** Kills the plant that was started last. */
  endSimulator(): Promise<void>;
  /** With a limit no file of it may grow beyond so many KiB, as on a disk that is full; `prlimit` lifts it. */
  startServer(fileKibMax?: number): Promise<Started>;
  /** Plays an upset by the simulator's own command line. */
  upset(name: string): Promise<void>;
  /** Ends what still runs and takes the folder away. */
  dispose(): Promise<void>;
}

/**
 * The demo plant on ports and in a folder of its own: simulator and server as the processes that people start.
 * Nothing runs until it is started.
 */
export async function demoSystem(): Promise<System> {
  const folder = mkdtempSync(join(tmpdir(), 'sievewright-'));
  const [opcuaPort, controlPort, webPort] = await freePorts(3);
  const config = configIn(folder, opcuaPort ?? 0);
  const data = join(folder, 'data');
  const running = new Set<Started>();
  let simulator: Started | null = null;
  const start = async (file: string, args: readonly string[], fileKibMax?: number) => {
    const started = await startedProcess(file, args, fileKibMax);
    running.add(started);
    return started;
  };
  const ports = [
    '--port',
    String(opcuaPort),
    '--control-port',
    String(controlPort),
    '--truth',
    join(folder, 'truth'),
  ];
  return {
    truth: join(folder, 'truth'),
    config,
    data,
    async startSimulator(args = []) {
      simulator = await start('simulator/main.ts', [...ports, ...args]);
      return simulator;
    },
    async endSimulator() {
      await simulator?.end();
    },
    startServer: (fileKibMax) =>
      start('server/main.ts', ['--config', config, '--data', data, '--port', String(webPort)], fileKibMax),
    async upset(name) {
      const child = spawn(
        process.execPath,
        ['simulator/upset.ts', name, '--control-port', String(controlPort)],
        {
          cwd: ROOT,
          stdio: 'inherit',
        },
      );
      const [code] = (await once(child, 'exit')) as [number | null];
      if (code !== 0) throw new Error(`upset ${name} ended with ${String(code)}`);
    },
    async dispose() {
      await Promise.all([...running].map((each) => each.end()));
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** The demo's own configuration, pointed at another port. */
function configIn(folder: string, opcuaPort: number): string {
  cpSync(join(ROOT, 'config'), join(folder, 'config'), { recursive: true });
  const file = join(folder, 'config', 'plant.yaml');
  writeFileSync(
    file,
    readFileSync(file, 'utf8').replace(/opc\.tcp:\/\/127\.0\.0\.1:\d+/, `opc.tcp://127.0.0.1:${opcuaPort}`),
  );
  return file;
}

/** Starts a program of the project and resolves when it says that it is ready. */
export async function startedProcess(
  file: string,
  args: readonly string[],
  fileKibMax?: number,
): Promise<Started> {
  const program = [process.execPath, file, ...args];
  // Without the trap the system would end the process instead of refusing its writes.
  const limited = [
    'bash',
    '-c',
    `trap '' XFSZ; ulimit -S -f ${String(fileKibMax)}; exec "$0" "$@"`,
    ...program,
  ];
  const [command = '', ...rest] = fileKibMax === undefined ? program : limited;
  const child = spawn(command, rest, { cwd: ROOT, stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await readyAddress(child, file);
  return {
    address,
    pid: child.pid ?? 0,
    async end(signal = 'SIGKILL') {
      if (child.exitCode !== null || child.signalCode !== null) return child.exitCode;
      const ended = once(child, 'exit');
      child.kill(signal);
      const [code] = (await ended) as [number | null];
      return code;
    },
  };
}

function readyAddress(child: ChildProcess, file: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => {
      child.kill('SIGKILL');
      reject(new Error(`${file} was not ready within ${READY_MS} ms`));
    }, READY_MS);
    const settle = (done: () => void) => {
      clearTimeout(timer);
      done();
    };
    child.once('exit', (code) => {
      settle(() => {
        reject(new Error(`${file} ended with ${String(code)} before it was ready`));
      });
    });
    if (child.stdout === null) return;
    createInterface({ input: child.stdout }).on('line', (line) => {
      const address = /^\w+ ready (\S+)/.exec(line)?.[1];
      if (address === undefined) return;
      settle(() => {
        resolve(address);
      });
    });
  });
}

/** Ports that were free a moment ago, all different. */
export async function freePorts(count: number): Promise<readonly number[]> {
  const servers = Array.from({ length: count }, () => createServer().listen(0, '127.0.0.1'));
  await Promise.all(servers.map((server) => once(server, 'listening')));
  const ports = servers.map((server) => {
    const address = server.address();
    return address !== null && typeof address === 'object' ? address.port : 0;
  });
  await Promise.all(
    servers.map((server) => {
      server.close();
      return once(server, 'close');
    }),
  );
  return ports;
}
