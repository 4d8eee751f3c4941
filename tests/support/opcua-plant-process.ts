import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { startOpcuaPlant, type PlantOptions } from './opcua-plant.ts';

/** A test plant in a process of its own, to be killed, frozen and started again. */
export interface PlantProcess {
  readonly url: string;
  readonly port: number;
  /** Stops the process in its tracks: it holds its sockets and answers nothing. */
  freeze(): void;
  thaw(): void;
  /** Ends it without a word to its clients. */
  kill(): Promise<void>;
}

export async function startPlantProcess(options: Partial<PlantOptions>): Promise<PlantProcess> {
  const child = fork(fileURLToPath(import.meta.url), [JSON.stringify(options)], {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const url = await firstMessage(child);
  return {
    url,
    port: Number(new URL(url).port),
    freeze: () => child.kill('SIGSTOP'),
    thaw: () => child.kill('SIGCONT'),
    async kill() {
      if (child.exitCode !== null || child.signalCode !== null) return;
      const ended = once(child, 'exit');
      child.kill('SIGKILL');
      await ended;
    },
  };
}

async function firstMessage(child: ChildProcess): Promise<string> {
  const [message] = (await Promise.race([
    once(child, 'message'),
    once(child, 'exit').then(([code]) => {
      throw new Error(`test plant ended with ${String(code)} before it was ready`);
    }),
  ])) as [string];
  return message;
}

if (process.argv[1] === fileURLToPath(import.meta.url) && process.send) {
  const plant = await startOpcuaPlant(JSON.parse(process.argv[2] ?? '{}') as Partial<PlantOptions>);
  // Without its parent a test plant must not live on.
  process.on('disconnect', () => process.exit(0));
  process.send(plant.url);
}
