import { useApp } from '../../live/app-context.ts';
import { OrderDialog } from '../../parts/order-dialog.tsx';
import type { OrderProps } from './shelve-dialog.tsx';

/** Takes an alarm out of service or puts it back; either with a reason. */
export function ServiceDialog({
  alarm,
  title,
  isOut,
  isSending,
  onClose,
  onCommand,
}: OrderProps & { readonly isOut: boolean }) {
  const words = useApp().texts.alarms.service;
  const kind = isOut ? 'put-alarm-back-in-service' : 'take-alarm-out-of-service';
  return (
    <OrderDialog
      title={isOut ? words.backTitle(title) : words.outTitle(title)}
      about={isOut ? words.backAbout : words.outAbout}
      confirm={isOut ? words.backConfirm : words.outConfirm}
      isSending={isSending}
      onClose={onClose}
      onConfirm={(_, reason) => onCommand({ kind, alarm: alarm.id, reason })}
    />
  );
}
