import { useEffect, useRef, useState, type ReactNode, type SubmitEvent } from 'react';
import { useApp } from '../live/app-context.ts';
import './dialog.css';

export interface OrderDialogProps {
  readonly title: string;
  readonly about: string;
  readonly confirm: string;
  readonly isSending: boolean;
  readonly onClose: () => void;
  /** What the form says, with the reason that everyone has to give. */
  readonly onConfirm: (form: FormData, reason: string) => void;
  readonly children?: ReactNode;
}

/** Asks for what an order about an alarm needs, the reason first of all. Opens as soon as it is there. */
export function OrderDialog({
  title,
  about,
  confirm,
  isSending,
  onClose,
  onConfirm,
  children,
}: OrderDialogProps) {
  const words = useApp().texts.alarms;
  const dialog = useRef<HTMLDialogElement>(null);
  const [isMissing, setMissing] = useState(false);
  useEffect(() => dialog.current?.showModal(), []);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const given = form.get('reason');
    const reason = typeof given === 'string' ? given.trim() : '';
    setMissing(reason === '');
    if (reason !== '') onConfirm(form, reason);
  };
  return (
    <dialog ref={dialog} className="dialog" aria-labelledby="order-title" onClose={onClose}>
      <form onSubmit={submit} className="dialog-body">
        <h2 id="order-title">{title}</h2>
        <p className="soft">{about}</p>
        {children}
        <ReasonField isMissing={isMissing} />
        <div className="dialog-buttons">
          <button type="submit" className="button" disabled={isSending}>
            {isSending ? words.sending : confirm}
          </button>
          <button type="button" className="button" onClick={() => dialog.current?.close()}>
            {words.shelving.cancel}
          </button>
        </div>
      </form>
    </dialog>
  );
}

function ReasonField({ isMissing }: { readonly isMissing: boolean }) {
  const words = useApp().texts.alarms.shelving;
  return (
    <>
      <label className="dialog-field">
        {words.reason}
        <input
          className="input"
          name="reason"
          maxLength={300}
          aria-invalid={isMissing}
          aria-describedby="order-missing"
        />
      </label>
      <p id="order-missing" role="alert">
        {isMissing && words.reasonMissing}
      </p>
    </>
  );
}
