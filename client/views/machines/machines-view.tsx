import type { MachinesAnswer } from '../../../server/contract/machine-standing.ts';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchMachines, WORK_LIST_ADDRESS } from '../../live/plant-api.ts';
import { useAnswerEvery } from '../../live/use-answer-every.ts';
import { useReader, useTimeReader } from '../../live/use-live.ts';
import { deviationLevelText } from './deviation-text.ts';
import { MachineRow } from './machine-row.tsx';
import './machines-view.css';

/** Windows of the watch are ten minutes long. */
const EVERY_MS = 60_000;

/** All machines in order of concern. */
export function MachinesView() {
  const { texts } = useApp();
  const words = texts.machines;
  const { answer, state } = useAnswerEvery<MachinesAnswer>(fetchMachines, EVERY_MS);
  return (
    <div className="machines-view">
      <h1 className="unseen">{words.title}</h1>
      <p className="soft">{words.about}</p>
      {state === 'failed' && <p role="alert">{words.failed}</p>}
      {answer === null && state === 'asking' && <p className="soft">{words.loading}</p>}
      {answer?.machines.length === 0 && <p className="soft">{words.none}</p>}
      {answer !== null && answer.machines.length > 0 && <MachineList answer={answer} />}
    </div>
  );
}

function MachineList({ answer }: { readonly answer: MachinesAnswer }) {
  const { texts } = useApp();
  const words = texts.machines;
  const time = useTimeReader();
  const { watchedUntilMs } = answer;
  return (
    <>
      <div className="machines-head">
        <p className="soft">
          {watchedUntilMs === null ? words.notWatched : words.watchedUntil(stampText(watchedUntilMs, time))}
        </p>
        <a className="button button-link" href={WORK_LIST_ADDRESS} download>
          {words.workList}
        </a>
      </div>
      <CommonShifts answer={answer} />
      <ul className="panel machines-list">
        {answer.machines.map((machine) => (
          <MachineRow key={machine.machine} machine={machine} causes={answer.causes} />
        ))}
      </ul>
    </>
  );
}

function CommonShifts({ answer }: { readonly answer: MachinesAnswer }) {
  const { texts, plant } = useApp();
  const words = texts.machines;
  const time = useTimeReader();
  const reader = useReader(plant.lines[0]?.id ?? '');
  if (answer.common.length === 0) return null;
  return (
    <section className="panel machines-common">
      <h2>{words.common}</h2>
      <ul>
        {answer.common.map(({ signal, level, sinceMs }) => (
          <li key={signal}>
            {words.commonShift(
              words.signalNames[signal] ?? signal,
              deviationLevelText(level, { residual: 'ratio', unit: '1' }, reader),
              stampText(sinceMs, time),
            )}
          </li>
        ))}
      </ul>
      <p className="soft">{words.commonNote}</p>
    </section>
  );
}
