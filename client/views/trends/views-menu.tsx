import { useRef, useState, type SubmitEvent } from 'react';
import { useApp } from '../../live/app-context.ts';
import { withoutView, withView } from '../../live/saved-views.ts';
import { useStore } from '../../live/use-live.ts';
import { MenuButton, MenuItem, MenuRule } from '../../parts/menu-button.tsx';
import '../../parts/dialog.css';
import { choiceFrom, queryOf, type TrendChoice } from './trend-link.ts';

interface ViewsMenuProps {
  readonly choice: () => TrendChoice;
  /** The same view with its stretch of time fixed: whoever opens it sees exactly this. */
  readonly fixedChoice: () => TrendChoice;
  readonly onShow: (choice: TrendChoice) => void;
}

/** Views under a name, and links to this one. */
export function ViewsMenu({ choice, fixedChoice, onShow }: ViewsMenuProps) {
  const { texts, savedViews } = useApp();
  const words = texts.trends.views;
  const views = useStore(savedViews);
  const dialog = useRef<HTMLDialogElement>(null);
  const [told, tell] = useState('');
  const copy = (shown: TrendChoice) => {
    const address = `${window.location.origin}/trends?${queryOf(shown).toString()}`;
    navigator.clipboard.writeText(address).then(
      () => tell(words.copied),
      () => tell(words.notCopied),
    );
  };
  return (
    <>
      <MenuButton label={words.button}>
        {views.map(({ name, query }) => (
          <MenuItem key={name} onChoose={() => onShow(choiceFrom(new URLSearchParams(query)))}>
            {name}
          </MenuItem>
        ))}
        {views.length === 0 && (
          <MenuItem isDisabled onChoose={() => undefined}>
            {words.none}
          </MenuItem>
        )}
        <MenuRule />
        <MenuItem onChoose={() => dialog.current?.showModal()}>{words.save}</MenuItem>
        <MenuItem onChoose={() => copy(fixedChoice())}>{words.copyFixed}</MenuItem>
        <MenuItem onChoose={() => copy(choice())}>{words.copy}</MenuItem>
      </MenuButton>
      <span role="status" className="soft trends-told">
        {told}
      </span>
      <dialog ref={dialog} className="dialog" aria-labelledby="views-title">
        <ViewsForm choice={choice} onClose={() => dialog.current?.close()} />
      </dialog>
    </>
  );
}

function ViewsForm({ choice, onClose }: Pick<ViewsMenuProps, 'choice'> & { readonly onClose: () => void }) {
  const { texts, savedViews } = useApp();
  const words = texts.trends.views;
  const [isMissing, setMissing] = useState(false);
  const submit = (event: SubmitEvent<HTMLFormElement>) => {
    event.preventDefault();
    const value = new FormData(event.currentTarget).get('name');
    const name = typeof value === 'string' ? value.trim() : '';
    setMissing(name === '');
    if (name === '') return;
    savedViews.set(withView(savedViews.get(), { name, query: queryOf(choice()).toString() }));
    event.currentTarget.reset();
    onClose();
  };
  return (
    <form className="dialog-body" onSubmit={submit}>
      <h2 id="views-title">{words.title}</h2>
      <p className="soft">{words.why}</p>
      <label className="dialog-field">
        {words.name}
        <input className="input" name="name" maxLength={60} autoComplete="off" aria-invalid={isMissing} />
      </label>
      <p role="alert">{isMissing && words.missing}</p>
      <KeptViews />
      <div className="dialog-buttons">
        <button type="submit" className="button">
          {words.keep}
        </button>
        <button type="button" className="button" onClick={onClose}>
          {texts.trends.close}
        </button>
      </div>
    </form>
  );
}

/** What is saved, to be forgotten one by one. */
function KeptViews() {
  const { texts, savedViews } = useApp();
  const words = texts.trends.views;
  const views = useStore(savedViews);
  if (views.length === 0) return null;
  return (
    <ul className="views-kept" aria-label={words.kept}>
      {views.map(({ name }) => (
        <li key={name}>
          {name}
          <button
            type="button"
            className="button button-small button-quiet"
            aria-label={words.forgetOf(name)}
            onClick={() => savedViews.set(withoutView(views, name))}
          >
            {words.forget}
          </button>
        </li>
      ))}
    </ul>
  );
}
