import { Fault } from '../contract/faults.ts';
import type { TagAddress, TagSink, TagSource } from '../ports/tag-source.ts';
import { FieldLink } from './field-link.ts';
import type { FieldOptions } from './field-options.ts';
import { settledWithin } from './settled-within.ts';
import { loadOpcuaClientKit, type OpcuaClientKit } from './opcua-library.ts';

const DISPOSING_MS_MAX = 400;

/**
 * Readings from the plant's OPC UA servers: one supervised link for each endpoint, independent of the others.
 * It only browses, reads, subscribes and reads history.
 */
export function opcuaTagSource(options: FieldOptions): TagSource {
  const kit = loadedOnce(() => loadOpcuaClientKit(options.pkiFolder));
  let links: readonly FieldLink[] | null = null;
  return {
    start(tags: readonly TagAddress[], sink: TagSink): void {
      if (links !== null) throw new Error('opcuaTagSource.start was called twice');
      expectKnownEndpoints(options, tags);
      links = options.endpoints.map((endpoint) => {
        const own = tags.filter((address) => address.endpoint === endpoint.id);
        return new FieldLink({ endpoint, tags: own, sink, options, kit: kit.load });
      });
      for (const link of links) link.start();
    },
    async stop(): Promise<void> {
      await Promise.all((links ?? []).map((link) => link.stop()));
      await settledWithin(kit.dispose(), DISPOSING_MS_MAX);
    },
  };
}

function expectKnownEndpoints(options: FieldOptions, tags: readonly TagAddress[]): void {
  const known = new Set(options.endpoints.map(({ id }) => id));
  const lost = tags.find(({ endpoint }) => !known.has(endpoint));
  if (lost === undefined) return;
  throw new Fault('CONFIG_REFERENCE', {
    subject: `tag ${lost.tag} endpoint`,
    got: lost.endpoint,
    expected: `one of ${[...known].join(', ')}`,
    remedy: 'name an endpoint that the configuration defines',
  });
}

/** Loads at the first call; after a failure the next call tries again. */
function loadedOnce(load: () => Promise<OpcuaClientKit>): {
  load: () => Promise<OpcuaClientKit>;
  dispose: () => Promise<void>;
} {
  let loading: Promise<OpcuaClientKit> | null = null;
  return {
    load() {
      loading ??= load().catch((error: unknown) => {
        loading = null;
        throw error;
      });
      return loading;
    },
    async dispose() {
      await (await loading)?.certificateManager.dispose();
    },
  };
}
