import { useRef } from 'react';
import {
  DOSE_CHOICES,
  MASS_RATE_CHOICES,
  TEMPERATURE_CHOICES,
  type ReaderUnits,
} from '../../server/contract/format/reader-units.ts';
import { useApp } from '../live/app-context.ts';
import { THEMES } from '../live/preferences.ts';
import { useStore } from '../live/use-live.ts';
import './dialog.css';

/** Units and light, as this reader likes them. */
export function DisplayButton() {
  const { texts } = useApp();
  const dialog = useRef<HTMLDialogElement>(null);
  return (
    <>
      <button type="button" className="button button-quiet" onClick={() => dialog.current?.showModal()}>
        {texts.display.button}
      </button>
      <dialog ref={dialog} className="dialog" aria-labelledby="display-title">
        <DisplayForm onClose={() => dialog.current?.close()} />
      </dialog>
    </>
  );
}

function DisplayForm({ onClose }: { readonly onClose: () => void }) {
  const { texts, preferences } = useApp();
  const current = useStore(preferences);
  const words = texts.display;
  const setUnits = (units: Partial<ReaderUnits>) =>
    preferences.set({ ...current, units: { ...current.units, ...units } });
  return (
    <div className="dialog-body">
      <h2 id="display-title">{words.title}</h2>
      <Choice
        name={words.massRate}
        choices={MASS_RATE_CHOICES}
        chosen={current.units.massRate}
        onChoose={(massRate) => setUnits({ massRate })}
      />
      <Choice
        name={words.dose}
        choices={DOSE_CHOICES}
        chosen={current.units.dose}
        onChoose={(dose) => setUnits({ dose })}
      />
      <Choice
        name={words.temperature}
        choices={TEMPERATURE_CHOICES}
        chosen={current.units.temperature}
        onChoose={(temperature) => setUnits({ temperature })}
      />
      <Choice
        name={words.theme}
        choices={THEMES}
        chosen={current.theme}
        labels={words.themes}
        onChoose={(theme) => preferences.set({ ...current, theme })}
      />
      <p className="soft">{words.note}</p>
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={onClose}>
          {words.close}
        </button>
      </div>
    </div>
  );
}

interface ChoiceProps<Value extends string> {
  readonly name: string;
  readonly choices: readonly Value[];
  readonly chosen: Value;
  readonly labels?: Readonly<Record<Value, string>>;
  readonly onChoose: (value: Value) => void;
}

function Choice<Value extends string>({ name, choices, chosen, labels, onChoose }: ChoiceProps<Value>) {
  return (
    <fieldset className="dialog-choice">
      <legend>{name}</legend>
      {choices.map((choice) => (
        <label key={choice}>
          <input type="radio" name={name} checked={choice === chosen} onChange={() => onChoose(choice)} />
          {labels?.[choice] ?? choice}
        </label>
      ))}
    </fieldset>
  );
}
