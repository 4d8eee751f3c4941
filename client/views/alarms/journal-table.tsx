import { useState } from 'react';
import { stampText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useTimeReader } from '../../live/use-live.ts';
import { PriorityBar } from '../../parts/priority-bar.tsx';
import type { JournalLine } from './use-journal-lines.ts';

/** A screen reads well up to some hundred lines; more come on request. */
const LINES_AT_ONCE = 200;

export function JournalTable({ lines }: { readonly lines: readonly JournalLine[] }) {
  const { texts } = useApp();
  const words = texts.alarms.column;
  const [count, setCount] = useState(LINES_AT_ONCE);
  const rest = lines.length - count;
  return (
    <div className="journal-room" tabIndex={0} role="group" aria-label={texts.alarms.journal}>
      <table role="table" className="table table-stacking">
        <thead>
          <tr>
            <th scope="col">{words.time}</th>
            <th scope="col">{words.priority}</th>
            <th scope="col">{words.alarm}</th>
            <th scope="col">{words.change}</th>
            <th scope="col">{words.by}</th>
          </tr>
        </thead>
        <tbody role="rowgroup">
          {lines.slice(0, count).map((line) => (
            <JournalRow key={line.key} line={line} />
          ))}
        </tbody>
      </table>
      {rest > 0 && (
        <button type="button" className="button" onClick={() => setCount(count + LINES_AT_ONCE)}>
          {texts.alarms.olderLines(Math.min(rest, LINES_AT_ONCE))}
        </button>
      )}
    </div>
  );
}

function JournalRow({ line }: { readonly line: JournalLine }) {
  const { texts } = useApp();
  const time = useTimeReader();
  return (
    <tr role="row" className={`priority-${line.priority}`}>
      <td role="cell" className="table-time">
        {stampText(line.timeMs, time)}
      </td>
      <td role="cell">
        <span className="journal-priority">
          <PriorityBar priority={line.priority} />
          {texts.format.priority[line.priority]}
        </span>
      </td>
      <td role="cell">
        <b className="journal-title">{line.title}</b>
      </td>
      <td role="cell">{line.change}</td>
      <td role="cell" data-name={texts.alarms.column.by}>
        {line.by}
      </td>
    </tr>
  );
}
