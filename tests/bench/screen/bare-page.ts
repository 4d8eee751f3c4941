import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { ThinnedAnswer } from '#server/contract/history-answer.ts';

export interface BarePage {
  readonly url: string;
  close(): void;
}

/**
 * The chart library by itself: the same points as our page draws, a chart a trace with its own axes, envelope and
 * cursor, as its documentation shows them, and the wheel gathered to one change a frame as ours is. Nothing else.
 */
export async function bareUplotPage(
  answer: ThinnedAnswer,
  size: { widthPx: number; heightPx: number },
): Promise<BarePage> {
  const folder = path.dirname(createRequire(import.meta.url).resolve('uplot/package.json'));
  const files: Readonly<Record<string, readonly [string, string]>> = {
    '/': ['text/html', PAGE],
    '/uplot.js': ['text/javascript', readFileSync(path.join(folder, 'dist/uPlot.iife.min.js'), 'utf8')],
    '/uplot.css': ['text/css', readFileSync(path.join(folder, 'dist/uPlot.min.css'), 'utf8')],
    '/charts.js': ['text/javascript', `const given = ${JSON.stringify({ answer, size })};\n${CHARTS}`],
  };
  const server: Server = createServer((request, response) => {
    const [type, body] = files[request.url ?? '/'] ?? ['text/plain', ''];
    response.writeHead(200, { 'content-type': type }).end(body);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close: () => void server.close(),
  };
}

const PAGE = `<!doctype html><meta charset="utf-8"><link rel="stylesheet" href="/uplot.css">
<div id="room"></div><script src="/uplot.js"></script><script src="/charts.js"></script>`;

const CHARTS = `
const room = document.getElementById('room');
const { fromMs, toMs, series } = given.answer;
const marginMs = (toMs - fromMs) * 0.3 / 1.6;
let view = { min: (fromMs + marginMs) / 1000, max: (toMs - marginMs) / 1000 };
const charts = series.map((one) => new uPlot({
  width: given.size.widthPx,
  height: given.size.heightPx,
  legend: { show: false },
  scales: { x: { range: () => [view.min, view.max] } },
  cursor: { sync: { key: 'all' }, drag: { x: false, y: false } },
  series: [
    {},
    { stroke: 'transparent', width: 0, points: { show: false } },
    { stroke: 'transparent', width: 0, points: { show: false } },
    { stroke: '#222', width: 1.5, points: { show: false } },
  ],
  bands: [{ series: [1, 2], fill: 'rgba(0,0,0,0.2)' }],
}, [one.timeMs.map((ms) => ms / 1000), one.max, one.min, one.mean], room));
let gathered = 1, moved = 0, frame;
room.addEventListener('wheel', (event) => {
  event.preventDefault();
  if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) moved += event.deltaX / given.size.widthPx;
  else gathered *= Math.exp(event.deltaY * 0.0016);
  frame ??= requestAnimationFrame(() => {
    frame = undefined;
    const span = view.max - view.min;
    const middle = (view.min + view.max) / 2 + moved * span;
    view = { min: middle - span * gathered / 2, max: middle + span * gathered / 2 };
    gathered = 1;
    moved = 0;
    for (const chart of charts) chart.setScale('x', view);
  });
}, { passive: false });
`;
