import { describe, expect, it } from 'vitest';
import { after, OVERFED } from './pipeline-rig.ts';
import { ALL, BO, flow, HOUR, plug, PLUGGED, SHELVE, standing, TAKE_OUT } from './standing-alarm.ts';

const PUT_BACK = { kind: 'put-alarm-back-in-service', alarm: OVERFED, reason: 'done' } as const;

describe('shelving an alarm', () => {
  it('sets it aside with who, why and until when, in message and journal', async () => {
    const { give, shown, journal } = await standing();
    expect(await give(SHELVE)).toEqual({ done: true, recordId: null });
    const untilMs = after(20.25) + HOUR;
    expect(shown()).toMatchObject({
      state: 'shelved',
      clearedMs: null,
      machine: 'pit',
      subject: 's.pit.flow',
    });
    const shelved = { by: 'Ada', timeMs: after(20.25), untilMs, isOneShot: false };
    expect(shown()?.shelved).toEqual({ ...shelved, reason: 'probe is being changed' });
    expect((await journal()).at(-1)).toEqual({
      alarm: OVERFED,
      to: 'shelved',
      by: 'Ada',
      reason: 'probe is being changed',
      untilMs,
    });
  });

  it('ends by itself at its time, and the alarm asks again when its condition is still there', async () => {
    const { give, shown, play } = await standing();
    await give({ ...SHELVE, forMs: 30_000 });
    await play(flow(13_000, 21, 49), 49.5);
    expect(shown()?.state).toBe('shelved');
    await play(flow(13_000, 50, 52), 52);
    expect(shown()).toMatchObject({ state: 'unacknowledged', raisedMs: after(10) });
    expect(shown()?.shelved).toBeUndefined();
  });

  it('once only ends when the condition has come and gone, before its time', async () => {
    const { give, shown, play } = await standing();
    await give({ ...SHELVE, isOneShot: true });
    await play(flow(10_000, 21, 24), 25);
    expect(shown()?.state).toBe('normal');
    await play(flow(13_000, 26, 28), 29);
    expect(shown()?.state).toBe('unacknowledged');
  });

  it('is ended by a person', async () => {
    const { give, shown } = await standing();
    await give(SHELVE);
    expect(await give({ kind: 'unshelve-alarm', alarm: OVERFED })).toMatchObject({ done: true });
    expect(shown()?.state).toBe('unacknowledged');
  });

  it.each([
    [
      'longer than 12 h',
      { ...SHELVE, forMs: 12.5 * HOUR },
      'COMMAND_REFUSED shelve-alarm s.pit.overfed shelved time [h]: got 12.5, expected > 0 and <= 12; take the alarm out of service if it must be longer',
    ],
    [
      'no time at all',
      { ...SHELVE, forMs: 0 },
      'COMMAND_REFUSED shelve-alarm s.pit.overfed shelved time [h]: got 0, expected > 0 and <= 12; take the alarm out of service if it must be longer',
    ],
    [
      'no reason',
      { ...SHELVE, reason: ' ' },
      'COMMAND_REFUSED shelve-alarm s.pit.overfed reason: got "", expected a reason that the next shift understands; say why',
    ],
    [
      'an alarm that there is not',
      { ...SHELVE, alarm: 's.no.alarm' },
      'COMMAND_REFUSED shelve-alarm s.no.alarm: got no such alarm, expected an alarm of the plant; look at the list again',
    ],
  ] as const)('for %s is refused and leaves the alarm as it is', async (_what, command, refused) => {
    const { give, shown, journal } = await standing();
    expect(await give(command)).toEqual({ done: false, refused });
    expect(shown()?.state).toBe('unacknowledged');
    expect((await journal()).map(({ to }) => to)).toEqual(['unacknowledged']);
  });

  it('what is shelved already is refused: its time cannot be stretched in silence', async () => {
    const { give, shown } = await standing();
    await give(SHELVE);
    expect(await give({ ...SHELVE, forMs: 12 * HOUR })).toMatchObject({ done: false });
    expect(shown()?.shelved?.untilMs).toBe(after(20.25) + HOUR);
  });
});

describe('out of service', () => {
  it('is for maintenance; an operator is refused by role', async () => {
    const { give, shown } = await standing();
    expect(await give(TAKE_OUT)).toEqual({
      done: false,
      refused:
        'COMMAND_FORBIDDEN take-alarm-out-of-service role: got operator, expected one of maintenance, manager, engineer; nothing was changed; ask one of them',
    });
    expect(shown()?.state).toBe('unacknowledged');
    expect(await give(TAKE_OUT, BO)).toMatchObject({ done: true });
    expect(shown()).toMatchObject({
      state: 'out-of-service',
      outOfService: { by: 'Bo', reason: 'overhaul' },
    });
  });

  it('withholds the alarm until it is put back, and then asks for what is still there', async () => {
    const { give, shown, play, journal } = await standing();
    await give(TAKE_OUT, BO);
    await play([...flow(10_000, 21, 30), ...flow(13_000, 31, 40)], 41);
    expect(shown()?.state).toBe('out-of-service');
    await give(PUT_BACK, BO);
    expect(shown()?.state).toBe('unacknowledged');
    expect(shown()?.outOfService).toBeUndefined();
    expect((await journal()).slice(-2)).toMatchObject([
      { to: 'out-of-service', by: 'Bo', reason: 'overhaul' },
      { to: 'unacknowledged', by: 'Bo', reason: 'done' },
    ]);
  });

  it('cannot be shelved as well, nor ended where it is not', async () => {
    const { give } = await standing();
    expect(await give(PUT_BACK, BO)).toMatchObject({ done: false });
    await give(TAKE_OUT, BO);
    expect(await give(SHELVE)).toEqual({
      done: false,
      refused:
        'COMMAND_REFUSED shelve-alarm s.pit.overfed: got out-of-service, expected a state in which one can shelve; nothing was changed; somebody may have been quicker',
    });
    expect(await give(TAKE_OUT, BO)).toMatchObject({ done: false });
  });

  it('takes all alarms of a machine, and puts them back', async () => {
    const { give, shown } = await standing();
    const machine = { line: 's', machine: 'pit', reason: 'overhaul' } as const;
    expect(await give({ kind: 'take-machine-out-of-service', ...machine }, BO)).toMatchObject({ done: true });
    expect([shown(OVERFED)?.state, shown(PLUGGED)?.state]).toEqual(['out-of-service', 'out-of-service']);
    await give({ kind: 'put-machine-back-in-service', ...machine }, BO);
    expect([shown(OVERFED)?.state, shown(PLUGGED)?.state]).toEqual(['unacknowledged', 'normal']);
    expect(await give({ kind: 'take-machine-out-of-service', ...machine, machine: 'pitt' }, BO)).toEqual({
      done: false,
      refused:
        'COMMAND_REFUSED take-machine-out-of-service machine: got s.pitt, expected a machine of the configuration that has alarms; nothing was changed',
    });
  });
});

describe('a latch', () => {
  it('is reset by a person once its alarm has returned and been acknowledged', async () => {
    const { give, shown, play } = await standing();
    await play([...plug(1, 21, 22), ...plug(0, 23, 24)], 25);
    expect(shown(PLUGGED)?.state).toBe('latched-unacknowledged');
    await give({ kind: 'acknowledge-alarm', alarm: PLUGGED });
    expect(shown(PLUGGED)?.state).toBe('latched-acknowledged');
    expect(await give({ kind: 'reset-alarm', alarm: PLUGGED })).toMatchObject({ done: true });
    expect(shown(PLUGGED)?.state).toBe('normal');
  });

  it('of an alarm that has none is not reset', async () => {
    const { give } = await standing();
    expect(await give({ kind: 'reset-alarm', alarm: OVERFED })).toEqual({
      done: false,
      refused:
        'COMMAND_REFUSED reset-alarm s.pit.overfed: got unacknowledged, expected a state in which one can reset; nothing was changed; somebody may have been quicker',
    });
  });
});

describe('acknowledging several', () => {
  it('takes those that ask, passes over the others, and is refused when none asks', async () => {
    const { give, shown, play } = await standing();
    await play(plug(1, 21, 22), 23);
    const alarms = [OVERFED, PLUGGED, 's.no.alarm'];
    await give({ kind: 'acknowledge-alarm', alarm: PLUGGED });
    expect(await give({ kind: 'acknowledge-alarms', alarms })).toMatchObject({ done: true });
    expect([shown(OVERFED)?.state, shown(PLUGGED)?.state]).toEqual(['acknowledged', 'acknowledged']);
    expect(shown(OVERFED)?.acknowledged?.by).toBe('Ada');
    expect(await give({ kind: 'acknowledge-alarms', alarms })).toMatchObject({ done: false });
  });
});

describe('a viewer', () => {
  it.each([SHELVE, { kind: 'acknowledge-alarm', alarm: OVERFED }, { kind: 'end-lot', line: 's' }] as const)(
    'may not: $kind',
    async (command) => {
      const { give, shown, rig } = await standing();
      expect(await give(command, { id: 'Vi', role: 'viewer' })).toMatchObject({
        refused: expect.stringMatching(
          /^COMMAND_FORBIDDEN .* role: got viewer, expected one of operator, /,
        ) as string,
      });
      expect(shown()?.state).toBe('unacknowledged');
      expect(await rig.records.commandJournal(ALL)).toMatchObject([{ by: { actor: { id: 'Vi' } } }]);
    },
  );
});
