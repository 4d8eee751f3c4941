import { existsSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
// Types only: the library itself is loaded below.
import type * as NodeOpcua from 'node-opcua';
import type { OPCUACertificateManager } from 'node-opcua';

export type OpcuaLibrary = typeof NodeOpcua;

/** The library, and who we are to a plant's server. */
export interface OpcuaClientKit {
  readonly library: OpcuaLibrary;
  readonly applicationUri: string;
  readonly certificateFile: string;
  readonly certificateManager: OPCUACertificateManager;
}

const APPLICATION_URI = 'urn:sievewright:field';
const VALIDITY_DAYS = 3650;

/**
 * Loads the library when the first link is started, not before: that takes 0.4 to 1.2 s, and the screens can be
 * served meanwhile. The library wants a key and a certificate even for a connection that uses neither; they are
 * made in the folder given, with a subject of our own. An unknown server is never trusted by itself.
 */
export async function loadOpcuaClientKit(pkiFolder: string): Promise<OpcuaClientKit> {
  const library = await import('node-opcua');
  // Its warnings are about links that the supervisor watches anyway and reports by code.
  library.setWarningLogger(() => undefined);
  library.setErrorLogger(() => undefined);
  const certificateManager = new library.OPCUACertificateManager({
    rootFolder: pkiFolder,
    automaticallyAcceptUnknownCertificate: false,
    disableFileWatchers: true,
  });
  await certificateManager.initialize();
  // Each client takes a reference and gives it back when it is closed; this one keeps the manager for the next.
  certificateManager.referenceCounter++;
  return {
    library,
    applicationUri: APPLICATION_URI,
    certificateFile: await ownCertificate(certificateManager),
    certificateManager,
  };
}

async function ownCertificate(manager: OPCUACertificateManager): Promise<string> {
  const certificateFile = join(manager.rootDir, 'own/certs/sievewright.pem');
  if (existsSync(certificateFile)) return certificateFile;
  await manager.createSelfSignedCertificate({
    outputFile: certificateFile,
    subject: '/CN=Sievewright field link',
    applicationUri: APPLICATION_URI,
    dns: [hostname()],
    startDate: new Date(),
    validity: VALIDITY_DAYS,
  });
  return certificateFile;
}
