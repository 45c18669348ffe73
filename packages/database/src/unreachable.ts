/** SQLSTATE of a server that refuses, ends or has lost a connection (PostgreSQL manual, appendix A: classes 08, 53300, 57P, 3D000). */
const SQL_STATES = /^(08...|53300|57P0[1-5]|3D000)$/;
/** What the socket, the driver adapter and the client library say of the same. */
const CODES = new Set(['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOTFOUND', 'EAI_AGAIN', 'EHOSTUNREACH', 'P1001', 'P1002', 'P1003', 'P1017', 'P2024', 'P2037']);
const KINDS = new Set(['DatabaseNotReachable', 'ConnectionClosed', 'TooManyConnections', 'DatabaseDoesNotExist', 'SocketTimeout']);
// Some paths lose the code and leave the words; those of the drivers' own errors and of the server's refusals.
const WORDS = /ECONNREFUSED|ECONNRESET|Connection terminated|connection.*(closed|timeout)|not currently accepting connections|terminating connection|Can't reach|shutting down|starting up|Unable to start a transaction|Client has encountered a connection error/i;

/** Whether an error says that the database could not be reached or was lost, wherever the client wrapped it: the same request may succeed later. */
export function isUnreachable(error: unknown): boolean {
  for (let at: unknown = error, depth = 0; at && typeof at === 'object' && depth < 6; depth++) {
    const some = at as { code?: unknown; originalCode?: unknown; kind?: unknown; message?: unknown; cause?: unknown; meta?: { driverAdapterError?: unknown } };
    for (const code of [some.code, some.originalCode]) if (typeof code === 'string' && (SQL_STATES.test(code) || CODES.has(code))) return true;
    if (typeof some.kind === 'string' && KINDS.has(some.kind)) return true;
    if (typeof some.message === 'string' && WORDS.test(some.message)) return true;
    at = some.meta?.driverAdapterError ?? some.cause;
  }
  return false;
}
