import { once } from 'node:events';
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';

/** The cable between us and a plant: it can be pulled, or go dead without either end noticing. */
export interface Cable {
  readonly url: string;
  /** Breaks every connection and takes no new ones. */
  cut(): void;
  /** Nothing passes and nothing breaks, as when a switch in between loses power. */
  goDead(): void;
  mend(): void;
  close(): Promise<void>;
}

export async function laidCable(plantPort: number): Promise<Cable> {
  const pairs = new Set<readonly [Socket, Socket]>();
  let state: 'whole' | 'cut' | 'dead' = 'whole';
  const server = createServer((near) => {
    if (state === 'cut') {
      near.destroy();
      return;
    }
    const far = connect(plantPort, '127.0.0.1');
    const pair = [near, far] as const;
    pairs.add(pair);
    join(pair, () => state === 'dead');
    for (const end of pair) {
      end.on('error', () => undefined);
      end.on('close', () => {
        pairs.delete(pair);
        for (const other of pair) other.destroy();
      });
    }
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const destroyAll = () => {
    for (const end of [...pairs].flat()) end.destroy();
  };
  return {
    url: `opc.tcp://127.0.0.1:${(server.address() as AddressInfo).port}`,
    cut() {
      state = 'cut';
      destroyAll();
    },
    goDead() {
      state = 'dead';
    },
    mend() {
      // What went into a dead cable is gone, so its connections cannot come back.
      if (state === 'dead') destroyAll();
      state = 'whole';
    },
    async close() {
      destroyAll();
      server.close();
      await once(server, 'close');
    },
  };
}

function join([near, far]: readonly [Socket, Socket], isDead: () => boolean): void {
  near.on('data', (bytes) => {
    if (!isDead()) far.write(bytes);
  });
  far.on('data', (bytes) => {
    if (!isDead()) near.write(bytes);
  });
}
