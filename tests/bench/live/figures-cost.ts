import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { loadConfig } from '#server/config/load-config.ts';
import { lineSetup } from '#server/line/line-setup.ts';
import { newPlant, stepPlant } from '#server/pipeline/step-plant.ts';

const TICKS = 400;

/** CPU microseconds a change that frames, figures and alarms cost by themselves, without link, history and sockets. */
export async function figuresCostUs(configFile: string, hz: number): Promise<number> {
  const config = await loadConfig(configFile);
  const lines = config.lines.map((graph, index) => {
    const settings = config.settings[index];
    if (settings === undefined) throw new Error(`line ${graph.id} has no settings`);
    return lineSetup({ graph, settings, crops: config.crops, tags: config.tags, endpointOf: new Map() });
  });
  const alarms = alarmSetup(config.alarms, config.lines);
  const setup = { timing: config, lines, alarms, staleAfterMs: new Map<string, number>() };
  let state = newPlant(alarmStateAtStart(alarms));
  const tags = config.tags.map(({ id }) => id);
  const stepMs = 1000 / hz;
  let changes = 0;
  let beat = 0;
  const before = process.cpuUsage();
  for (let tick = 1; tick <= TICKS; tick += 1) {
    const nowMs = tick * config.tickMs;
    const arrived = [];
    for (; beat * stepMs < nowMs; beat += 1) {
      const sourceTimeMs = beat * stepMs;
      for (const tag of tags) {
        arrived.push({
          tag,
          sourceTimeMs,
          arrivalMs: sourceTimeMs,
          value: 1000 + beat,
          quality: 'good' as const,
        });
      }
    }
    changes += arrived.length;
    state = stepPlant(setup, state, {
      arrived,
      nowMs,
      lostEndpoints: new Set(),
      lots: [],
      orders: [],
      restarts: [],
    }).state;
  }
  const cpu = process.cpuUsage(before);
  return (cpu.user + cpu.system) / changes;
}
