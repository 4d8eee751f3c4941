import { existsSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { textOf, trackedFiles } from './project-files.ts';
import { PROJECT_ROOT } from './run-tool.ts';

const README_LINES_MAX = 15;

interface Link {
  readonly from: string;
  readonly target: string;
}

/** Links to the project's own files and headings; what leads out of the project is not ours to promise. */
function linksIn(file: string): readonly Link[] {
  const prose = textOf(file).replaceAll(/^```[\s\S]*?^```/gm, '');
  const targets = [...prose.matchAll(/\]\(([^)\s]+)\)|<img[^>]+src="([^"]+)"/g)].map(
    (match) => match[1] ?? match[2] ?? '',
  );
  return targets.filter((target) => !/^[a-z]+:/.test(target)).map((target) => ({ from: file, target }));
}

function leadsSomewhere({ from, target }: Link): boolean {
  const [file = '', heading] = target.split('#');
  const where = file === '' ? from : path.posix.join(path.posix.dirname(from), file);
  if (!existsSync(path.join(PROJECT_ROOT, where))) return false;
  return heading === undefined || !where.endsWith('.md') || headingsIn(where).includes(heading);
}

/** The anchors that a page of Markdown offers: its headings in lower case, words joined by hyphens. */
function headingsIn(file: string): readonly string[] {
  const headings = [...textOf(file).matchAll(/^#+ (.+)$/gm)].map((match) => match[1] ?? '');
  return headings.map((heading) =>
    heading
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}\s_-]/gu, '')
      .trim()
      .replaceAll(/\s/g, '-'),
  );
}

function rooms(): readonly string[] {
  const folders = trackedFiles().flatMap((file) => /^server\/[a-z]+(?=\/)/.exec(file) ?? []);
  return [...new Set(folders), 'client', 'simulator', 'tests'];
}

describe('the documents', () => {
  const pages = trackedFiles().filter((file) => file.endsWith('.md'));

  it('begin with README.md and DEVELOPERS.md', () => {
    expect(pages).toEqual(expect.arrayContaining(['README.md', 'DEVELOPERS.md']));
  });

  it('have no link that leads nowhere', () => {
    const links = pages.flatMap(linksIn);
    expect(links.length).toBeGreaterThan(10);
    expect(links.filter((link) => !leadsSomewhere(link))).toEqual([]);
  });

  it.each(rooms())(`tell in at most ${README_LINES_MAX} lines what %s is for`, (room) => {
    const readme = `${room}/README.md`;
    expect(pages).toContain(readme);
    expect(textOf(readme).trimEnd().split('\n').length).toBeLessThanOrEqual(README_LINES_MAX);
  });
});
