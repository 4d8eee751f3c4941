/** Raised by one whenever a message, schema or event of this folder changes shape; the client compares it on connect. */
export const CONTRACT_VERSION = 3;
