/**
 * Loaded before the main file of each process that `start.mjs` starts. When the starter is gone without
 * having stopped us, killed say, the channel to it closes, and we stop as if asked to: no server is left
 * behind that holds the port and that nobody sees. Closing the channel is also how we are asked to stop
 * where the system has no signals.
 */
process.on('disconnect', () => process.emit('SIGTERM', 'SIGTERM'));
// The channel alone must not keep a process alive that has nothing more to do.
process.channel?.unref();
