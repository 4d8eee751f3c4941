import { driveTags } from './tags/drive-tags.ts';
import { processTags } from './tags/process-tags.ts';
import { isInProfile, PROFILES, UNIT_CODES, type Profile, type TagEntry } from './tags/tag-entry.ts';

export const PLANT_NAMESPACE_URI = 'urn:quillmarsh-station:plant';

/** Every point the plant can measure, sorted by machine as the line runs; a profile keeps some of them. */
export function catalogue(profile: Profile): readonly TagEntry[] {
  return [...processTags(), ...driveTags()].filter((entry) => isInProfile(entry, profile));
}

/** The catalogue as the page that stands beside it, so that the page cannot fall behind. */
export function tagsPage(): string {
  const counts = PROFILES.map((profile) => `${profile} ${catalogue(profile).length}`).join(', ');
  return [
    '# Tags of the simulated plant',
    '',
    `Namespace URI \`${PLANT_NAMESPACE_URI}\`; node id \`ns=<index>;s=<node>\` (the index may move, resolve the URI).`,
    `Points by profile: ${counts}. "From" is the poorest profile that still has the point.`,
    'Contacts are Boolean, counters UInt32, analogs Double. Written from `catalogue.ts`; a test compares both.',
    '',
    ...table([HEADINGS, ...catalogue('full').map(cellsOf)]),
    '',
  ].join('\n');
}

const HEADINGS: readonly string[] = ['node', 'type', 'unit', 'UNECE', 'range', 'from', 'what it is'];

/** Columns made equally wide, as the formatter wants them. */
function table(rows: readonly (readonly string[])[]): string[] {
  const widths = HEADINGS.map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join(' | ')} |`;
  const [headings = HEADINGS, ...rest] = rows;
  return [line(headings), line(widths.map((width) => '-'.repeat(width))), ...rest.map(line)];
}

function cellsOf(entry: TagEntry): string[] {
  const code = entry.kind === 'analog' ? UNIT_CODES[entry.unit] : '';
  const unit = entry.kind === 'analog' ? entry.unit : '';
  const range = entry.kind === 'contact' ? '' : `${entry.low} to ${entry.high}`;
  return [`\`${entry.node}\``, entry.kind, unit, code, range, entry.least, entry.about];
}
