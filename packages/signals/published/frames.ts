/** Published DC-09 frames. Each: frame without LF and CR, where it was seen (SEEN-R; CRC and length recomputed and equal). */
export const goodFrames: readonly (readonly [frame: string, seen: string])[] = [
  ['73580056"SIA-DCS"0002R1L232#78919[#78919|Nri1/BA012][X012W34.1][Y045N12.2]_14:12:04,09-25-2026', 'public source file (comment or test): open text'],
  ['F92F0043"ADM-CID"0020R7896L7896#3456[#3456|1407 00 001]_17:01:14,07-26-2024', 'public source file (comment or test): open text'],
  ['D730002F"NULL"0000R7896L7896#3456[]_17:01:26,07-26-2024', 'public source file (comment or test): open text'],
  ['85420026"NULL"0000L0#000[]_21:58:31,08-08-2019', 'public source file (comment or test): open text'],
  ['CA2F0038"NULL"0000L0#7890[#0000|0000 00 000]_22:13:29,12-29-2022', 'public source file (comment or test): open text'],
  ['9D290026"NAK"0006L0#1111[]_10:46:32,03-06-2019', 'public source file (comment or test): open text'],
  ['3C830025"NAK"0000R0L0A0[]_16:09:09,04-14-2015', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['1D85002B"NULL"0001L0#00653210[]_09:17:32,05-18-2016', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['9B6D0059"SIA-DCS"0000RC0FFDL1234#080027E62A64[#080027E62A64|NHB0003][E115000]_14:25:17,06-22-2015', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['B0AC0027"ADM-CID"0001L0#7099[#7099|1628 01 000]', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['A18D0027"ADM-CID"0001L0#7099[#7099|1131 01 003]', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['01FC0037"ACK"0000Rc0ffdL1234#080027E62A64[]_12:10:40,06-22-2015', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['7ea80059"SIA-DCS"0000Rc0ffdL1234#080027E62A64[#080027E62A64|NHB0003][E115000]_09:00:13,06-23-2015', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['87CD0037"ADM-CID"9876R579BDFL789ABC#12345A[#12345A|1110 00 129]', 'public source file (comment or test): open text'],
  ['E88800a7"*SIA-DCS"0000RC0FFDL1234#080027E62A64[A054F111518361720BAB126501C6D994CD9151D2C84881C0FEA933A0790F49A9236EBD45F2AED32FAA252EB1AA18FC3CDEDE2452F33185E5931D31308D9B9882', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['E34C0062"*ACK"0001R5678L1234#080027E62A64[14F088FF5DCB19D1908069507EAB97C7CDB20F1C6EFA550BB59864D54B2DFA1C', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['F4D20029"SIA-DCS"0001RF3L77#1234[#1234|NRR|Atest]', 'test suite: fioletoven/dc09 common/src/dc09/message.tests.rs'],
  ['E4410025"NAK"0000R0L0A0[]_16:20:01,09-24-2025', 'test suite: fioletoven/dc09 common/src/dc09/message.tests.rs'],
  ['68AF0025"SIA-DCS"0001L0#1234[#1234|Nri1/BA12]', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
  ['2729002E"ACK"0001L0#080027E62A64[]_16:07:07,04-14-2015', 'test suite: mikkel-esp/SIADC-09HACSImplementation tests/test_dc09_protocol.py'],
];

/** Encrypted ones among them: how the frame starts, key, and what the first '|' is followed by once decrypted. AES-128-CBC, zero vector, no PKCS padding. */
export const encryptedFrames = [
  { starts: 'E88800a7"*SIA-DCS"', keyHex: 'ABCDABCDABCDABCDABCDABCDABCDABCD', clear: '#080027E62A64|NHB0003][E115000]_15:12:40,06-22-2015' },
  { starts: 'E34C0062"*ACK"', keyHex: 'ABCDABCDABCDABCDABCDABCDABCDABCD', clear: ']_16:08:12,04-14-2015' },
] as const;

/** Published frames that must be refused. */
export const badFrames = [
  ['B0AC0099"ADM-CID"0001L0#7099[#7099|1628 01 000]', 'length mismatch'],
  ['0000006b"SIA-DCS"0000RC0FFDL1234#080027E62A64[#080027E62A64|NHB0003]_13:53:11,06-22-2015', 'crc mismatch (and length mismatch)'],
  ['01fc003g"ACK"0000Rc0ffdL1234#080027E62A64[]_12:10:40,06-22-2015', 'length field not hex'],
] as const;
