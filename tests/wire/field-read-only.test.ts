import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { X509Certificate } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { loadOpcuaClientKit } from '#server/field/opcua-library.ts';
import { eventually } from '#tests/support/eventually.ts';
import { listenTo } from '#tests/support/opcua-listener.ts';
import { rampNames, startOpcuaPlant } from '#tests/support/opcua-plant.ts';

/** All services of OPC UA Part 4 that this room may ask for, and none that changes anything in the plant. */
const READING_SERVICES = [
  'ActivateSession',
  'CloseSecureChannel',
  'CloseSession',
  'CreateMonitoredItems',
  'CreateSession',
  'CreateSubscription',
  'DeleteSubscriptions',
  'GetEndpoints',
  'HistoryRead',
  'OpenSecureChannel',
  'Publish',
  'Read',
];

describe('the field room', () => {
  it('asks a plant for nothing but what reading needs, in a whole session with break and backfill', async () => {
    const plant = await startOpcuaPlant({ hasHistory: true });
    const port = Number(new URL(plant.url).port);
    const tags = [...rampNames(5), 'Number', 'Missing'].map((tag) => ({ tag, staleAfterMs: 1000 }));
    const listener = listenTo({ url: plant.url, tags });
    await eventually('backfilled readings', () => listener.backfilled.length > 0);
    await eventually('a proven value', () => listener.of('Number').length >= 3);
    await plant.stop();
    await eventually('the link is lost', () => listener.state() === 'lost');
    const again = await startOpcuaPlant({ hasHistory: true, port });
    await eventually('the link is live again', () => listener.state() === 'live');
    await eventually('another proven value', () => again.requests.includes('HistoryRead'));
    await listener.stop();
    await again.stop();

    const asked = new Set([...plant.requests, ...again.requests]);
    expect([...asked].filter((service) => !READING_SERVICES.includes(service))).toEqual([]);
    for (const service of ['CreateMonitoredItems', 'Publish', 'Read', 'HistoryRead'])
      expect(asked).toContain(service);
  });

  it('names no service that writes, calls or changes nodes in its source', () => {
    const folder = join(import.meta.dirname, '../../server/field');
    const sources = readdirSync(folder).filter((name) => name.endsWith('.ts'));
    expect(sources.length).toBeGreaterThan(15);
    const changing =
      /\b(?:Write|Call|HistoryUpdate|AddNodes|DeleteNodes|AddReferences|DeleteReferences|TransferSubscriptions)\w*Request\b|\.(?:write|writeSingleNode|call|historyUpdate|performMessageTransaction|setPublishingMode)\(/;
    const offending = sources.filter((name) => changing.test(readFileSync(join(folder, name), 'utf8')));
    expect(offending).toEqual([]);
  });

  it('keeps its key and a certificate with our own subject in the folder it is given', async () => {
    const pkiFolder = mkdtempSync(join(tmpdir(), 'field-pki-'));
    const kit = await loadOpcuaClientKit(pkiFolder);
    expect(kit.certificateFile.startsWith(pkiFolder)).toBe(true);
    const certificate = new X509Certificate(readFileSync(kit.certificateFile));
    expect(certificate.subject).toBe('CN=Sievewright field link');
    expect(certificate.subjectAltName).toContain(`URI:${kit.applicationUri}`);
    expect(existsSync(join(pkiFolder, 'own/private/private_key.pem'))).toBe(true);
    const again = await loadOpcuaClientKit(pkiFolder);
    expect(new X509Certificate(readFileSync(again.certificateFile)).serialNumber).toBe(
      certificate.serialNumber,
    );
    rmSync(pkiFolder, { recursive: true });
  });
});
