import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { configFiles, FILE_KEYS } from '#server/config/config-files.ts';
import { PlantFileSchema } from '#server/config/plant-file.ts';

const DEMO = fileURLToPath(new URL('../../config/plant.yaml', import.meta.url));

describe('configFiles', () => {
  it('finds the demonstration’s own files', async () => {
    const names = (await configFiles(DEMO)).map(({ named }) => named);
    expect(names).toEqual(['plant.yaml', 'alarms.yaml', 'machines.yaml']);
  });

  it('knows every key that names a file, by what the schema says of it', () => {
    const keys = Object.entries(PlantFileSchema.properties).filter(([, property]) =>
      /^file /.test(String(Reflect.get(property, 'description') ?? '')),
    );
    expect(keys.map(([key]) => key).toSorted()).toEqual(FILE_KEYS.toSorted());
  });

  it('names the file that is not there', async () => {
    await expect(configFiles('/nowhere/plant.yaml')).rejects.toThrow(
      /^CONFIG_MISSING \/nowhere\/plant\.yaml: got ENOENT.*, expected a readable file; nothing is done; name the configuration with --config$/,
    );
  });
});
