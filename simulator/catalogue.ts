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
  const rows = catalogue('full').map((entry) => `| ${cellsOf(entry).join(' | ')} |`);
  const counts = PROFILES.map((profile) => `${profile} ${catalogue(profile).length}`).join(', ');
  return [
    '# Tags of the simulated plant',
    '',
    `Namespace URI \`${PLANT_NAMESPACE_URI}\`; node id \`ns=<index>;s=<node>\` (the index may move, resolve the URI).`,
    `Points by profile: ${counts}. "From" is the poorest profile that still has the point.`,
    'Contacts are Boolean, counters UInt32, analogs Double. Written from `catalogue.ts`; a test compares both.',
    '',
    '| node | type | unit | UNECE | range | from | what it is |',
    '|---|---|---|---|---|---|---|',
    ...rows,
    '',
  ].join('\n');
}

function cellsOf(entry: TagEntry): string[] {
  const code = entry.kind === 'analog' ? UNIT_CODES[entry.unit] : '';
  const unit = entry.kind === 'analog' ? entry.unit : '';
  const range = entry.kind === 'contact' ? '' : `${entry.low} to ${entry.high}`;
  return [`\`${entry.node}\``, entry.kind, unit, code, range, entry.least, entry.about];
}
