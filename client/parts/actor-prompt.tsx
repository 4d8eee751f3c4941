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
import { operatorNamed } from '../live/acting-person.ts';
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
          onName={(name) => {
            const actor = operatorNamed(name);
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
  readonly onName: (name: string) => void;
  readonly onForget: () => void;
  readonly onCancel: () => void;
}

function ActorForm({ onName, onForget, onCancel }: ActorFormProps) {
  const { texts, acting } = useApp();
  const words = texts.acting;
  const known = useStore(acting);
  const [isMissing, setMissing] = useState(false);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const name = new FormData(event.currentTarget).get('name');
    const trimmed = typeof name === 'string' ? name.trim() : '';
    setMissing(trimmed === '');
    if (trimmed !== '') onName(trimmed);
  };
  return (
    <form onSubmit={submit} className="dialog-body">
      <h2 id="actor-title">{words.title}</h2>
      <p className="soft">{words.why}</p>
      <label className="dialog-field">
        {words.name}
        <input
          key={known?.id ?? ''}
          className="input"
          name="name"
          defaultValue={known?.id ?? ''}
          maxLength={80}
          autoComplete="name"
          aria-invalid={isMissing}
          aria-describedby="actor-missing"
        />
      </label>
      <p className="soft">{words.role}</p>
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
