import { useRef, useState, type SubmitEvent } from 'react';
import { recentText } from '../../../server/contract/format/time-text.ts';
import type { Actor, MarkDetails } from '../../../server/contract/records.ts';
import { useApp } from '../../live/app-context.ts';
import { sendCommand } from '../../live/plant-api.ts';
import type { SnapshotStore } from '../../live/snapshot-store.ts';
import { useConnection, useTimeReader } from '../../live/use-live.ts';
import { useAskActor } from '../../parts/actor-prompt.tsx';
import '../../parts/dialog.css';

interface MarkButtonProps {
  readonly line: string;
  /** Where the cursor stood last; a mark can be set there instead of now. */
  readonly pointed: SnapshotStore<number | null>;
  readonly onWritten: () => void;
}

const KINDS = ['setting', 'note', 'repair'] as const;
const MINUTE_MS = 60_000;
const AGO_MIN = [0, 1, 2, 5, 10, 15, 30, 60] as const;

/** Notes something on the time axis, under a person's name. It changes nothing in the plant. */
export function MarkButton({ line, pointed, onWritten }: MarkButtonProps) {
  const { texts } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  const [opened, setOpened] = useState<{ readonly pointedMs: number | null; readonly count: number }>();
  const isLive = useConnection().state === 'live';
  return (
    <>
      <button
        type="button"
        className="button"
        disabled={!isLive}
        onClick={() => {
          setOpened((before) => ({ pointedMs: pointed.get(), count: (before?.count ?? 0) + 1 }));
          dialog.current?.showModal();
        }}
      >
        {texts.trends.mark.button}
      </button>
      <dialog ref={dialog} className="dialog" aria-labelledby="mark-title">
        {opened !== undefined && (
          <MarkForm
            key={opened.count}
            line={line}
            pointedMs={opened.pointedMs}
            onClose={() => dialog.current?.close()}
            onWritten={onWritten}
          />
        )}
      </dialog>
    </>
  );
}

interface MarkFormProps {
  readonly line: string;
  readonly pointedMs: number | null;
  readonly onClose: () => void;
  readonly onWritten: () => void;
}

function MarkForm({ line, pointedMs, onClose, onWritten }: MarkFormProps) {
  const { texts, clock } = useApp();
  const words = texts.trends.mark;
  const askActor = useAskActor();
  const [problem, setProblem] = useState('');
  const submit = async (form: FormData) => {
    const mark = markFrom(form, { line, nowMs: clock.nowMs(), pointedMs });
    if (mark === null) {
      setProblem(words.missing);
      return;
    }
    const actor = await askActor();
    if (actor === null) return;
    const refused = await written(actor, mark, words.notSent);
    setProblem(refused === null ? '' : words.refused(refused));
    if (refused !== null) return;
    onWritten();
    onClose();
  };
  return (
    <form
      className="dialog-body"
      onSubmit={(event: SubmitEvent<HTMLFormElement>) => {
        event.preventDefault();
        void submit(new FormData(event.currentTarget));
      }}
    >
      <h2 id="mark-title">{words.title}</h2>
      <p className="soft">{words.why}</p>
      <MarkFields line={line} pointedMs={pointedMs} />
      <p role="alert">{problem}</p>
      <div className="dialog-buttons">
        <button type="submit" className="button">
          {words.write}
        </button>
        <button type="button" className="button" onClick={onClose}>
          {texts.acting.cancel}
        </button>
      </div>
    </form>
  );
}

function MarkFields({ line, pointedMs }: Pick<MarkFormProps, 'line' | 'pointedMs'>) {
  const { texts, plant, clock } = useApp();
  const words = texts.trends.mark;
  const time = useTimeReader();
  const machines = plant.lines.find(({ id }) => id === line)?.machines ?? [];
  return (
    <>
      <label className="dialog-field">
        {words.text}
        <input className="input" name="text" maxLength={500} autoComplete="off" placeholder={words.example} />
      </label>
      <label className="dialog-field">
        {words.when}
        <select className="input" name="when" defaultValue="0">
          {AGO_MIN.map((minutes) => (
            <option key={minutes} value={minutes}>
              {words.ago(minutes)}
            </option>
          ))}
          {pointedMs !== null && (
            <option value="pointed">{words.pointed(recentText(pointedMs, clock.nowMs(), time))}</option>
          )}
        </select>
      </label>
      <label className="dialog-field">
        {words.machine}
        <select className="input" name="machine" defaultValue="">
          <option value="">{words.wholeLine}</option>
          {machines.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <fieldset className="dialog-choice">
        <legend>{words.kind}</legend>
        {KINDS.map((kind) => (
          <label key={kind}>
            <input type="radio" name="kind" value={kind} defaultChecked={kind === 'setting'} />
            {words.kinds[kind]}
          </label>
        ))}
      </fieldset>
    </>
  );
}

interface MarkPlace {
  readonly line: string;
  readonly nowMs: number;
  readonly pointedMs: number | null;
}

/** Null when nothing was written. */
function markFrom(form: FormData, { line, nowMs, pointedMs }: MarkPlace): MarkDetails | null {
  const field = (name: string) => {
    const value = form.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
  const text = field('text');
  if (text === '') return null;
  const when = field('when');
  const timeMs = when === 'pointed' && pointedMs !== null ? pointedMs : nowMs - Number(when) * MINUTE_MS;
  return {
    line,
    machine: field('machine') === '' ? null : field('machine'),
    kind: KINDS.find((kind) => kind === field('kind')) ?? 'note',
    timeMs: Math.round(timeMs),
    text,
  };
}

/** Null when it was written; otherwise why not. */
async function written(actor: Actor, mark: MarkDetails, notSent: string): Promise<string | null> {
  try {
    const result = await sendCommand({ actor, command: { kind: 'write-mark', mark } });
    return result.done ? null : result.refused;
  } catch {
    return notSent;
  }
}
