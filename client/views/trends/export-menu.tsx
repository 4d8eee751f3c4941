import { exportAddress } from '../../live/plant-api.ts';
import { useApp } from '../../live/app-context.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { MenuButton, MenuItem, MenuRule } from '../../parts/menu-button.tsx';

interface ExportMenuProps {
  readonly series: readonly string[];
  readonly window: Followed<TimeWindow>;
  readonly onPicture: (form: 'png' | 'svg') => void;
}

/** What is seen, to take away: as a picture, as every sample behind it, or on paper. */
export function ExportMenu({ series, window, onPicture }: ExportMenuProps) {
  const { texts } = useApp();
  const words = texts.trends.take;
  const file = (format: 'csv' | 'parquet') => () =>
    globalThis.window.location.assign(exportAddress(series, window.get(), format));
  return (
    <MenuButton label={words.button}>
      <MenuItem isDisabled={series.length === 0} onChoose={() => onPicture('png')}>
        {words.png}
      </MenuItem>
      <MenuItem isDisabled={series.length === 0} onChoose={() => onPicture('svg')}>
        {words.svg}
      </MenuItem>
      <MenuRule />
      <MenuItem isDisabled={series.length === 0} onChoose={file('csv')}>
        {words.csv}
      </MenuItem>
      <MenuItem isDisabled={series.length === 0} onChoose={file('parquet')}>
        {words.parquet}
      </MenuItem>
      <MenuRule />
      <MenuItem onChoose={() => globalThis.window.print()}>{words.print}</MenuItem>
    </MenuButton>
  );
}
