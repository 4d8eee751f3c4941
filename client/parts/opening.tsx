import type { Texts } from '../texts/en.ts';
import './opening.css';

/** Before the server has said which plant this is, or while it does not answer. */
export function Opening({ texts, hasFailed }: { readonly texts: Texts; readonly hasFailed: boolean }) {
  return (
    <main className="opening">
      <h1>{texts.product}</h1>
      <p role="status">{hasFailed ? texts.openingFailed : texts.opening}</p>
      <p className="soft">{texts.noSafetySystem}</p>
    </main>
  );
}
