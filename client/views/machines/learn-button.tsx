import { useState } from 'react';
import type { MachineStanding } from '../../../server/contract/machine-standing.ts';
import { useApp } from '../../live/app-context.ts';
import { CommandProblem } from '../../parts/acknowledge-button.tsx';
import { OrderDialog } from '../../parts/order-dialog.tsx';
import { useCommand } from '../../parts/use-command.ts';

const DAY_MS = 86_400_000;
const DAYS = { day: 1, week: 7, month: 30 } as const;
const NAMES = ['day', 'week', 'month'] as const;

/** Learns what is normal anew, from a period that a person calls healthy, with a reason. */
export function LearnButton({ standing }: { readonly standing: MachineStanding }) {
  const { texts, clock } = useApp();
  const words = texts.machines.page;
  const { send, isSending, problem } = useCommand();
  const [isOpen, setOpen] = useState(false);
  const learn = async (form: FormData, reason: string) => {
    const name = NAMES.find((one) => one === form.get('days')) ?? 'week';
    const toMs = clock.nowMs();
    const { line, machine } = standing;
    const fromMs = toMs - DAYS[name] * DAY_MS;
    if (await send({ kind: 'learn-machine', line, machine, fromMs, toMs, reason })) setOpen(false);
  };
  return (
    <>
      <button type="button" className="button" onClick={() => setOpen(true)}>
        {words.learn}
      </button>
      <CommandProblem problem={problem} />
      {isOpen && (
        <OrderDialog
          title={words.learnTitle(standing.name)}
          about={words.learnAbout}
          confirm={words.learnConfirm}
          isSending={isSending}
          onClose={() => setOpen(false)}
          onConfirm={(form, reason) => void learn(form, reason)}
        >
          <label className="dialog-field">
            {words.learnDays}
            <select className="input" name="days" defaultValue="week">
              {NAMES.map((name) => (
                <option key={name} value={name}>
                  {words.learnChoices[name]}
                </option>
              ))}
            </select>
          </label>
        </OrderDialog>
      )}
    </>
  );
}
