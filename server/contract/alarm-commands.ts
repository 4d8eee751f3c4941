import { Type } from 'typebox';

const Alarm = Type.String({
  minLength: 1,
  maxLength: 200,
  description: 'Id of the alarm, which is that of its rule',
});
/** Empty ones are refused by the command itself, which says what a reason is for. */
const Reason = Type.String({ maxLength: 300 });

/** What a person may do about alarms. `command-rights.ts` says who may do what. */
export const AlarmCommands = [
  Type.Object({ kind: Type.Literal('acknowledge-alarm'), alarm: Alarm }),
  /** Those that ask for nobody any more are passed over; refused when that is all of them. */
  Type.Object({
    kind: Type.Literal('acknowledge-alarms'),
    alarms: Type.Array(Alarm, { minItems: 1, maxItems: 1000 }),
  }),
  /** Opens the latch of an alarm that has returned; it is acknowledged for itself. */
  Type.Object({ kind: Type.Literal('reset-alarm'), alarm: Alarm }),
  Type.Object({
    kind: Type.Literal('shelve-alarm'),
    alarm: Alarm,
    forMs: Type.Number({ description: 'More than 0 and at most 12 h; one-shot too' }),
    /** Ends before its time when the condition has come and gone. */
    isOneShot: Type.Boolean(),
    reason: Reason,
  }),
  Type.Object({ kind: Type.Literal('unshelve-alarm'), alarm: Alarm }),
  Type.Object({ kind: Type.Literal('take-alarm-out-of-service'), alarm: Alarm, reason: Reason }),
  Type.Object({ kind: Type.Literal('put-alarm-back-in-service'), alarm: Alarm, reason: Reason }),
  /** All alarms of the machine at once; those that are out of service already stay as they are. */
  Type.Object({
    kind: Type.Literal('take-machine-out-of-service'),
    line: Type.String(),
    machine: Type.String(),
    reason: Reason,
  }),
  Type.Object({
    kind: Type.Literal('put-machine-back-in-service'),
    line: Type.String(),
    machine: Type.String(),
    reason: Reason,
  }),
] as const;
