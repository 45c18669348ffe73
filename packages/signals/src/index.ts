export * from './contact-id.js';
export { crc16Arc } from './crc.js';
export { ackOf, type Dc09Frame, type Dc09Options, type Dc09Out, decodeDc09, duhOf, encodeDc09, longestFrame, nakAt } from './dc09.js';
export * from './decode-event.js';
export type { Decoded, SignalError, SignalErrorName } from './decoded.js';
export { contactIdWords, type EventKind, letterWords } from './event-words.js';
export * from './gaps.js';
export * from './history.js';
export * from './zip.js';
