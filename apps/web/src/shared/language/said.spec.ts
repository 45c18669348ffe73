import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { speak } from './index.js';
import { readerOf } from './read-back.js';
import { said, sentencesReady } from './said.js';

const table = {
  'Has {1}, {2}: {3} by {4} Ah{5}.': 'Tiene {1}, {2}: {3} por {4} Ah{5}.', fails: 'falla', ' although {1} % is above': ' aunque {1} % está por encima',
  'Not read: {1}.': 'Sin leer: {1}.', 'Voltage at rest': 'Tensión en reposo', 'Load current': 'Corriente de carga', ' and ': ' y ',
  '{1} opens {2}': '{1} abre {2}', 'End of life {1}.': 'Fin de vida {1}.', '{1} by {2}': '{1} en {2}', falls: 'baja',
};
const read = readerOf([table], { number: (text) => text.replace('.', ','), day: (day) => `<${day}>` });

describe('a sentence read back', () => {
  it('is written with its values: numbers, days, pieces and lists', () => {
    expect(read('Has 14.11, 3: fails by 0.58 Ah although 83 % is above.')).toBe('Tiene 14,11, 3: falla por 0,58 Ah aunque 83 % está por encima.');
    expect(read('End of life 2031-03-01.')).toBe('Fin de vida <2031-03-01>.');
    expect(read('Fire opens 3 Mar 2027')).toBe('Fire abre <2027-03-03>');
    expect(read('Not read: voltage at rest, load current.')).toBe('Sin leer: tensión en reposo, corriente de carga.');
  });

  it('is one of several in a row, and what is not known among them stays', () => {
    expect(read('Not read: load current. Something else here. End of life 2031-03-01.')).toBe('Sin leer: corriente de carga. Something else here. Fin de vida <2031-03-01>.');
  });

  it('never takes a name for a sentence: few letters count only where all in them is known', () => {
    expect(read('Bed by Window')).toBe('Bed by Window');
    expect(read('falls by 3')).toBe('baja en 3');
  });

  it('never takes the end of one sentence into a value of the next', () => {
    expect(read('Unknown thing. Not read: load current.')).toBe('Unknown thing. Sin leer: corriente de carga.');
  });
});

describe('what is said', () => {
  afterEach(async () => { await speak('en'); await sentencesReady(); });
  beforeAll(async () => { await speak('es'); await sentencesReady(); }, 60_000);

  it('follows the language, and is said as it comes in English', async () => {
    const reason = 'Has 14.11 Ah (83 % of 17 Ah, measured), needs 14.69 Ah for 24 h standby at 450 mA and 30 min alarm at 1900 mA: fails by 0.58 Ah although 83 % is above the 80 % rule.';
    expect(said(reason)).toBe('Tiene 14,11 Ah (83 % de 17 Ah, medida), necesita 14,69 Ah para 24 h en reposo a 450 mA y 30 min en alarma a 1900 mA: falla por 0,58 Ah aunque el 83 % supera la regla del 80 %.');
    await speak('en');
    await sentencesReady();
    expect(said(reason)).toBe(reason);
  });

  it('writes out the codes of how a source is known', async () => {
    await speak('es');
    await sentencesReady();
    expect(said('SEEN-R: licensing-exam pages')).toBe('visto en una fuente secundaria: licensing-exam pages');
    await speak('en');
    await sentencesReady();
    expect(said('90 s (SEEN-P)')).toBe('90 s (seen in the document)');
  });
});
