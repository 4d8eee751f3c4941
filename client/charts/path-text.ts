import type { PathSink } from './trace-path.ts';

/** Takes strokes as the text of an SVG path. */
export interface PathText extends PathSink {
  text(): string;
}

export function pathText(): PathText {
  let said = '';
  const put = (letter: string, x: number, y: number) => {
    said += `${letter}${x.toFixed(1)} ${y.toFixed(1)}`;
  };
  return {
    moveTo: (x, y) => put('M', x, y),
    lineTo: (x, y) => put('L', x, y),
    closePath: () => {
      said += 'Z';
    },
    text: () => said,
  };
}
