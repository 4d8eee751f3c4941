import { faultText } from '../../contract/faults.ts';
import { HealthSchema, type Health } from '../../contract/health.ts';
import type { WebApp, WebHouse } from '../web-house.ts';
import { Refusals } from './query-schemas.ts';

/** Ticks come several times a second; this late, the pipeline hangs. */
const LATE_MS = 5000;
const UNAVAILABLE = 503;

/** Asked by whatever keeps the server running, and answered even when nothing else is well. */
export function healthRoute(app: WebApp, house: WebHouse): void {
  app.get(
    '/api/health',
    {
      schema: {
        tags: ['health'],
        summary: 'Whether the server is live and ready; 503 while it is not both',
        response: { 200: HealthSchema, 503: HealthSchema, ...Refusals },
      },
    },
    async (_, reply) => {
      const health = healthOf(house);
      return await reply.code(health.isLive && health.isReady ? 200 : UNAVAILABLE).send(health);
    },
  );
}

type Watched = Pick<WebHouse, 'newest' | 'clock' | 'plant'>;

function healthOf(house: Watched): Health {
  const now = house.newest.snapshot();
  const silentMs = silenceOf(house);
  const isTicking = silentMs !== null && silentMs <= LATE_MS;
  const tickFault = isTicking ? [] : [lateText(silentMs, house.plant.tickMs)];
  if (now === null) {
    return { isLive: true, isReady: false, because: tickFault, lastTickMs: null, links: [], recording: null };
  }
  const { timeMs, links, recording } = now;
  const recordingFault = recording.isRecording ? [] : [unrecordedText(recording.because)];
  return {
    isLive: isTicking,
    isReady: isTicking && recording.isRecording,
    because: [...tickFault, ...recordingFault],
    lastTickMs: timeMs,
    links,
    recording,
  };
}

/** How long no tick has come; null before the first. */
function silenceOf({ newest, clock }: Watched): number | null {
  const takenMs = newest.takenMs();
  return takenMs === null ? null : clock.nowMs() - takenMs;
}

function lateText(silentMs: number | null, tickMs: number): string {
  return faultText('TICK_LATE', {
    subject: 'pipeline',
    got: silentMs === null ? 'no tick yet' : `no tick for ${Math.round(silentMs / 1000)} s`,
    expected: `one every ${tickMs} ms`,
    remedy: silentMs === null ? 'the server is starting' : 'restart the server; its log says what stopped it',
  });
}

function unrecordedText(because: string | null): string {
  return (
    because ??
    faultText('HISTORY_UNWRITABLE', {
      subject: 'readings',
      got: 'none kept yet',
      expected: 'readings kept',
      remedy: 'the server is starting',
    })
  );
}
