import { useCallback } from 'react';
import { Link, useParams } from 'wouter';
import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import type { FigureProvenance } from '../../../server/contract/figure-provenance.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchProvenance } from '../../live/plant-api.ts';
import { useAnswerEvery } from '../../live/use-answer-every.ts';
import { useNames } from '../../live/use-live.ts';
import { FigureCauses } from './figure-causes.tsx';
import { FigureHead } from './figure-head.tsx';
import { FigureInputs } from './figure-inputs.tsx';
import { FigureWindows } from './figure-windows.tsx';
import './figure-view.css';

/** Asked again this often: the page explains, it is no live display. */
const EVERY_MS = 5000;

/** Why is this number what it is? */
export function FigureView() {
  const { texts, plant } = useApp();
  const { id } = useParams<{ id: string }>();
  const figure = plant.figures.find((one) => one.id === id);
  if (figure === undefined) return <p className="shell-lost">{texts.figures.notFound}</p>;
  return <Explained key={figure.id} figure={figure} />;
}

function Explained({ figure }: { readonly figure: FigureDescription }) {
  const { texts } = useApp();
  const words = texts.figures;
  const name = useNames().subject(figure.id);
  const ask = useCallback((signal: AbortSignal) => fetchProvenance(figure.id, signal), [figure.id]);
  const { answer, state } = useAnswerEvery<FigureProvenance>(ask, EVERY_MS);
  return (
    <article className="figure-view" aria-labelledby="figure-title">
      <p className="figure-ways">
        <Link href="/">{words.back}</Link>
        <Link href={`/trends?show=${figure.id}`}>{words.openTrend}</Link>
      </p>
      <h1 id="figure-title">{name}</h1>
      <FigureHead figure={figure} />
      {state === 'failed' && <p role="alert">{words.failed}</p>}
      {answer === null && state === 'asking' && <p className="soft">{words.loading}</p>}
      {answer !== null && (
        <>
          <section className="panel figure-part">
            <h2>{words.formula}</h2>
            <p>{words.formulas[answer.formula]}</p>
          </section>
          <FigureInputs figure={figure} inputs={answer.inputs} />
          <FigureCauses figure={figure} causes={answer.causes} />
        </>
      )}
      <FigureWindows figure={figure} />
    </article>
  );
}
