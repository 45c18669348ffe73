/**
 * RFC 8785, JSON Canonicalization Scheme. Seen in public repositories that reproduce the RFC's tables as conformance data, and in the
 * test data published by the RFC's author (appendix B: number samples; 3.2.2 and 3.2.3: worked examples; 3.2.4: UTF-8 bytes, from memory
 * of the section and equal to the UTF-8 form of the text of 3.2.3).
 */
import { describe, expect, it } from 'vitest';
import { canonicalJson } from '../src/index.js';

const APPENDIX_B: [bits: string, printed: string][] = [
  ['0000000000000000', '0'],
  ['8000000000000000', '0'],
  ['0000000000000001', '5e-324'],
  ['8000000000000001', '-5e-324'],
  ['7fefffffffffffff', '1.7976931348623157e+308'],
  ['ffefffffffffffff', '-1.7976931348623157e+308'],
  ['4340000000000000', '9007199254740992'],
  ['c340000000000000', '-9007199254740992'],
  ['4430000000000000', '295147905179352830000'],
  ['44b52d02c7e14af5', '9.999999999999997e+22'],
  ['44b52d02c7e14af6', '1e+23'],
  ['44b52d02c7e14af7', '1.0000000000000001e+23'],
  ['444b1ae4d6e2ef4e', '999999999999999700000'],
  ['444b1ae4d6e2ef4f', '999999999999999900000'],
  ['444b1ae4d6e2ef50', '1e+21'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
  ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'],
  ['41b3de4355555554', '333333333.33333325'],
  ['41b3de4355555555', '333333333.3333333'],
  ['41b3de4355555556', '333333333.3333334'],
  ['41b3de4355555557', '333333333.33333343'],
  ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
];

const number = (bits: string) => new DataView(Uint8Array.from(Buffer.from(bits, 'hex')).buffer).getFloat64(0);

describe('RFC 8785 appendix B: numbers [CAN-2]', () => {
  it.each(APPENDIX_B)('%s is written %s', (bits, printed) => expect(canonicalJson(number(bits))).toBe(printed));
  it.each(['7fffffffffffffff', '7ff0000000000000'])('%s (not a number, infinity) is refused [CAN-4]', (bits) => {
    expect(() => canonicalJson(number(bits))).toThrow(/not a JSON number/);
  });
});

const EXAMPLES: [name: string, input: string, canonical: string][] = [
  [
    'section 3.2.2, with the members sorted as 3.2.3 prints them',
    String.raw`{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}`,
    String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
  ],
  [
    'section 3.2.3, sorting by UTF-16 code units',
    String.raw`{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One","\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}`,
    '{"\\r":"Carriage Return","1":"One","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis","\u20ac":"Euro Sign","\ud83d\ude00":"Emoji: Grinning Face","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
  ],
  [
    "author's test data, structures",
    String.raw`{"1":{"f":{"f":"hi","F":5} ,"\n":56.0},"10":{ },"":"empty","a":{ },"111":[ { } ],"A":{ }}`,
    String.raw`{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}`,
  ],
  [
    "author's test data, names are not sorted by locale",
    '{"peach":1,"péché":2,"pêche":3,"sin":4}',
    '{"peach":1,"péché":2,"pêche":3,"sin":4}',
  ],
  ["author's test data, arrays keep their order", '[56,{"d":true,"10":null,"1":[ ]}]', '[56,{"1":[],"10":null,"d":true}]'],
];

describe('RFC 8785 worked examples [CAN-1] [CAN-3]', () => {
  it.each(EXAMPLES)('%s', (_name, input, canonical) => expect(canonicalJson(JSON.parse(input))).toBe(canonical));

  it('section 3.2.4: the UTF-8 bytes of the example', () => {
    const bytes =
      '7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c6e412742' +
      '5c225c5c5c5c5c222f227d';
    expect(Buffer.from(canonicalJson(JSON.parse((EXAMPLES[0] as [string, string, string])[1])), 'utf8').toString('hex')).toBe(bytes);
  });
});
