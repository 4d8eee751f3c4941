import type { AlarmCode, AlarmMessage } from '../contract/alarm-message.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import { happened, releasedUnlessSuppressed, type AlarmWork } from './alarm-work.ts';

interface Headship {
  readonly work: AlarmWork;
  readonly basis: string;
  readonly candidates: readonly string[];
  readonly consequences: AlarmMessage['consequences'];
}

/** The stop that came first speaks, for itself and for what followed. */
export function spoken(plan: AlarmPlan, record: AlarmRecord, headship: Headship): AlarmRecord {
  const { work, basis, candidates, consequences } = headship;
  const told = {
    code: codeOf(plan, headship),
    params: { ...record.told.params, basis },
    candidates,
    consequences,
  };
  const timeMs = record.told.raisedMs + plan.delays.onDelayMs;
  if (record.isUnsettled) return settled(plan, record, { work, timeMs, told });
  if (record.underSlot === null) return { ...record, told: { ...record.told, ...told } };
  return releasedUnlessSuppressed(plan, { ...record, underSlot: null }, { timeMs, told, work });
}

/** A stop that followed from another is listed under it and asks nobody for anything. */
export function grouped(
  plan: AlarmPlan,
  record: AlarmRecord,
  under: { readonly work: AlarmWork; readonly head: AlarmPlan; readonly delayMs: number },
): AlarmRecord {
  const { work, head } = under;
  if (record.underSlot === head.slot && !record.isUnsettled) return record;
  const timeMs = record.told.raisedMs + plan.delays.onDelayMs;
  const told = {
    code: plan.conditions[0]?.code ?? record.told.code,
    params: {
      cause: head.rule.machine ?? head.rule.id,
      causeAlarm: head.rule.id,
      delay: { value: under.delayMs / 1000, unit: 's' as const },
    },
    candidates: [],
    consequences: [],
  };
  const quiet = happened(plan, record, { event: 'suppress', timeMs, by: null, told, work });
  return settled(plan, { ...quiet, underSlot: head.slot }, { work, timeMs, told: {} });
}

/** A machine whose cause has gone while it still stands speaks for itself from now on. */
export function released(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: { readonly timeMs: number; readonly work: AlarmWork },
): AlarmRecord {
  return releasedUnlessSuppressed(plan, { ...record, underSlot: null }, { ...how, told: { params: {} } });
}

/** Tells the raising that had waited, and the clearing too where the machine already runs again. */
function settled(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: {
    readonly work: AlarmWork;
    readonly timeMs: number;
    readonly told: Parameters<typeof happened>[2]['told'];
  },
): AlarmRecord {
  const { work, timeMs, told = {} } = how;
  const raised = happened(
    plan,
    { ...record, isUnsettled: false },
    { event: 'raise', timeMs, by: null, told, work },
  );
  if (record.told.clearedMs === null) return raised;
  return clearedStop(plan, raised, { work, timeMs: record.told.clearedMs });
}

/** A stop is over; a follower is then as it was before. */
export function clearedStop(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: { readonly work: AlarmWork; readonly timeMs: number },
): AlarmRecord {
  const cleared = happened(plan, record, { ...how, event: 'clear', by: null, told: {} });
  if (cleared.underSlot === null) return cleared;
  return releasedUnlessSuppressed(plan, { ...cleared, underSlot: null }, how);
}

function codeOf(plan: AlarmPlan, { candidates, consequences }: Headship): AlarmCode {
  const own = plan.conditions[0]?.code ?? 'machine-stopped';
  if (own !== 'machine-stopped') return own;
  if (candidates.length > 1) return 'first-stop-unclear';
  return consequences.length > 0 ? 'stopped-first' : 'machine-stopped';
}
