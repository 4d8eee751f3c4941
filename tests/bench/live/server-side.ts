import { io } from 'socket.io-client';
import type { LiveChanges } from '#server/contract/socket-events.ts';
import { latencyLog } from './latency-log.ts';
import type { Measured } from './measured.ts';
import { processCpuMs } from './process-cpu.ts';

export interface WatchedServer {
  /** Measures for a while and answers with what came. */
  round(lengthMs: number): Promise<Measured>;
  close(): void;
}

/** A browser's socket that watches every tag of a running server. */
export async function watchServer(
  address: string,
  pid: number,
  tags: readonly string[],
): Promise<WatchedServer> {
  const log = latencyLog();
  const socket = io(address, { transports: ['websocket'] });
  socket.on('changes', (changes: LiveChanges) => {
    const nowMs = Date.now();
    for (const { timeMs, value } of changes.readings) {
      for (const [index, sourceTimeMs] of timeMs.entries()) {
        log.add({ sourceTimeMs, value: value[index] ?? -1 }, nowMs);
      }
    }
    if (changes.hasMissed) console.log('the socket was told that it has missed readings');
  });
  await new Promise<void>((resolve, reject) => {
    socket.on('connect', () => {
      socket.emit('watch', { figures: [], tags, alarms: false }, (answer: { refused: string | null }) => {
        if (answer.refused === null) resolve();
        else reject(new Error(answer.refused));
      });
    });
  });
  return {
    async round(lengthMs) {
      const cpuBefore = processCpuMs(pid);
      log.open();
      await pause(lengthMs);
      const count = log.count;
      const cpuAfter = processCpuMs(pid);
      return {
        count,
        deliveredRatio: log.deliveredRatio(tags.length),
        cpuMs: cpuBefore === null || cpuAfter === null ? null : cpuAfter - cpuBefore,
        p50Ms: log.percentile(0.5),
        p99Ms: log.percentile(0.99),
      };
    },
    close: () => void socket.disconnect(),
  };
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
