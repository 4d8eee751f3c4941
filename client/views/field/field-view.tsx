import { useApp } from '../../live/app-context.ts';
import { FieldLinks } from './field-links.tsx';
import { RecordingState } from './recording-state.tsx';
import { TagList } from './tag-list.tsx';
import './field-view.css';

/** How readings reach us: the links, whether readings are kept, and every tag with its last value. */
export function FieldView() {
  const { texts } = useApp();
  return (
    <div className="field-view">
      <h1 className="unseen">{texts.field.title}</h1>
      <FieldLinks />
      <RecordingState />
      <TagList />
    </div>
  );
}
