import {
  createContext,
  useCallback,
  useContext,
  useMemo,
  useRef,
  useState,
  type ReactNode,
  type SubmitEvent,
} from 'react';
import type { Actor } from '../../server/contract/records.ts';
import { ACTING_ROLES, roleNamed } from '../live/acting-person.ts';
import { useApp } from '../live/app-context.ts';
import { useStore } from '../live/use-live.ts';
import './dialog.css';

/** Answers with who acts, asking the person first if nobody is known; null when the person would rather not say. */
type AskActor = (isAskedAnyway?: boolean) => Promise<Actor | null>;

const AskActorContext = createContext<AskActor>(() => Promise.resolve(null));

export function useAskActor(): AskActor {
  return useContext(AskActorContext);
}

/** Holds the dialog "Who is acting?" and lets every part below ask it. */
export function ActorPrompt({ children }: { readonly children: ReactNode }) {
  const { acting } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  const answer = useRef<(actor: Actor | null) => void>(() => undefined);

  const ask = useCallback<AskActor>(
    (isAskedAnyway = false) => {
      const known = acting.get();
      if (known !== null && !isAskedAnyway) return Promise.resolve(known);
      dialog.current?.showModal();
      return new Promise((resolve) => {
        answer.current = resolve;
      });
    },
    [acting],
  );
  const settle = (actor: Actor | null) => {
    answer.current(actor);
    dialog.current?.close();
  };

  return (
    <AskActorContext value={ask}>
      {children}
      <dialog
        ref={dialog}
        className="dialog"
        aria-labelledby="actor-title"
        onClose={() => answer.current(null)}
      >
        <ActorForm
          onActor={(actor) => {
            acting.set(actor);
            settle(actor);
          }}
          onForget={() => {
            acting.set(null);
            settle(null);
          }}
          onCancel={() => settle(null)}
        />
      </dialog>
    </AskActorContext>
  );
}

interface ActorFormProps {
  readonly onActor: (actor: Actor) => void;
  readonly onForget: () => void;
  readonly onCancel: () => void;
}

function ActorForm({ onActor, onForget, onCancel }: ActorFormProps) {
  const { texts, acting } = useApp();
  const words = texts.acting;
  const known = useStore(acting);
  const [isMissing, setMissing] = useState(false);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const [name, role] = [form.get('name'), form.get('role')];
    const id = typeof name === 'string' ? name.trim() : '';
    setMissing(id === '');
    if (id !== '') onActor({ id, role: roleNamed(typeof role === 'string' ? role : null) });
  };
  return (
    <form onSubmit={submit} className="dialog-body">
      <h2 id="actor-title">{words.title}</h2>
      <p className="soft">{words.why}</p>
      <NameField known={known?.id ?? ''} isMissing={isMissing} />
      <RoleField known={known?.role ?? 'operator'} />
      <p className="soft">{words.onTrust}</p>
      <p id="actor-missing" role="alert">
        {isMissing && words.missing}
      </p>
      <div className="dialog-buttons">
        <button type="submit" className="button">
          {words.use}
        </button>
        <button type="button" className="button" onClick={onCancel}>
          {words.cancel}
        </button>
        {known !== null && (
          <button type="button" className="button" onClick={onForget}>
            {words.forget}
          </button>
        )}
      </div>
    </form>
  );
}

function NameField({ known, isMissing }: { readonly known: string; readonly isMissing: boolean }) {
  const words = useApp().texts.acting;
  return (
    <label className="dialog-field">
      {words.name}
      <input
        key={known}
        className="input"
        name="name"
        defaultValue={known}
        maxLength={80}
        autoComplete="name"
        aria-invalid={isMissing}
        aria-describedby="actor-missing"
      />
    </label>
  );
}

function RoleField({ known }: { readonly known: Actor['role'] }) {
  const words = useApp().texts.acting;
  return (
    <label className="dialog-field">
      {words.role}
      <select key={known} className="input" name="role" defaultValue={known}>
        {ACTING_ROLES.map((role) => (
          <option key={role} value={role}>
            {words.roles[role]}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Who is acting, in the header; lets the person change. */
export function ActorButton() {
  const { texts, acting } = useApp();
  const ask = useAskActor();
  const known = useStore(acting);
  const label = useMemo(
    () => (known === null ? texts.acting.buttonNobody : texts.acting.button(known.id)),
    [known, texts],
  );
  return (
    <button type="button" className="button button-quiet" onClick={() => void ask(true)}>
      {label}
    </button>
  );
}
