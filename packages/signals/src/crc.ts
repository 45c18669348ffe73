const table = new Uint16Array(256).map((_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >>> 1) ^ 0xa001 : crc >>> 1;
  return crc;
});

/** CRC-16/ARC of a text whose characters are bytes: polynomial 0x8005 reflected, start 0, no final xor. '123456789' gives 0xBB3D. */
export function crc16Arc(bytes: string): number {
  let crc = 0;
  for (let i = 0; i < bytes.length; i += 1) crc = (crc >>> 8) ^ table[(crc ^ bytes.charCodeAt(i)) & 0xff]!;
  return crc;
}
