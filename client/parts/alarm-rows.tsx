import type { KeyboardEvent, ReactNode } from 'react';
import { useApp } from '../live/app-context.ts';

/**
 * A list of alarms for one hand: the list takes the focus, the arrows go from alarm to alarm, Enter acknowledges the
 * one that is chosen. Inside an alarm its buttons keep their own keys.
 */
export function AlarmRows({ children }: { readonly children: ReactNode }) {
  const { texts } = useApp();
  return (
    <ul
      className="alarm-list"
      tabIndex={0}
      aria-label={`${texts.alarms.active}. ${texts.alarms.keys}`}
      onKeyDown={onKey}
    >
      {children}
    </ul>
  );
}

const STEPS: Readonly<Record<string, number>> = { ArrowDown: 1, ArrowUp: -1 };

function onKey(event: KeyboardEvent<HTMLUListElement>): void {
  const rows = [...event.currentTarget.children].filter((row) => row instanceof HTMLElement);
  const at = rows.findIndex((row) => row.contains(document.activeElement));
  const step = STEPS[event.key];
  if (step !== undefined) {
    const next = at === -1 ? 0 : Math.min(rows.length - 1, Math.max(0, at + step));
    rows[next]?.focus();
    event.preventDefault();
    return;
  }
  const row = rows[at];
  if (event.key !== 'Enter' || row === undefined || event.target !== row) return;
  row.querySelector<HTMLButtonElement>('[data-acknowledge]')?.click();
  event.preventDefault();
}
