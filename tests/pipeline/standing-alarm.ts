import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { Command, CommandResult } from '#server/contract/commands.ts';
import type { Actor } from '#server/contract/records.ts';
import { conditionRule } from '#tests/alarms/rules.ts';
import { steady } from '#tests/line/demo-readings.ts';
import { after, OVERFED, OVERFED_RULE, pipelineRig } from './pipeline-rig.ts';

export const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
export const HOUR = 3_600_000;
export const ADA = { id: 'Ada', role: 'operator' } as const;
export const BO = { id: 'Bo', role: 'maintenance' } as const;
export const PLUGGED = 's.pit.plugged';
export const RULES = [
  OVERFED_RULE,
  conditionRule({
    id: PLUGGED,
    line: 's',
    machine: 'pit',
    when: [{ subject: 's.drum.pump', is: 'on' }],
    isLatching: true,
  }),
];
export const flow = (value: number, fromS: number, toS: number) =>
  steady('s.pit.flow', value, { fromMs: after(fromS), toMs: after(toS) });
export const plug = (value: number, fromS: number, toS: number) =>
  steady('s.drum.pump', value, { fromMs: after(fromS), toMs: after(toS) });

/** The overfed alarm has stood since 10 s; commands are given when 20 s have passed, and later as told. */
export async function standing() {
  const rig = await pipelineRig({ rules: RULES });
  await rig.play([...flow(10_000, 0, 9), ...flow(13_000, 10, 20)], after(20));
  let nowS = 20;
  const give = async (command: Command, actor: Actor = ADA): Promise<CommandResult> => {
    const answer = rig.commands.carryOut({ actor, command });
    nowS += 0.25;
    await rig.tickAt(after(nowS));
    return answer;
  };
  const shown = (id = OVERFED): AlarmMessage | undefined =>
    rig.updates.flatMap(({ alarms }) => alarms).findLast((alarm) => alarm.id === id);
  const journal = async () =>
    (await rig.records.alarmJournal(ALL)).map(({ alarm, to, by, reason, untilMs }) => ({
      alarm,
      to,
      by,
      reason,
      untilMs,
    }));
  const play = async (readings: Parameters<typeof rig.play>[0], untilS: number) => {
    await rig.play(readings, after(untilS));
    nowS = untilS;
  };
  return { rig, give, shown, journal, play };
}

export const SHELVE = {
  kind: 'shelve-alarm',
  alarm: OVERFED,
  forMs: HOUR,
  isOneShot: false,
  reason: 'probe is being changed',
} as const;
export const TAKE_OUT = { kind: 'take-alarm-out-of-service', alarm: OVERFED, reason: 'overhaul' } as const;
