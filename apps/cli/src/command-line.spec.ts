import { describe, expect, it } from 'vitest';
import { runCommand } from './command-line.js';

const none = () => Promise.reject(new Error('no database here'));
const run = (...argv: string[]) => runCommand(argv, none);

describe('the terminal door', () => {
  it('writes the occurrences of a rule, one local date-time a line', async () => {
    const said = await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=WEEKLY;COUNT=3');
    expect(said).toEqual({ code: 0, out: '2027-03-01T09:00:00\n2027-03-08T09:00:00\n2027-03-15T09:00:00\n', err: '' });
    expect(JSON.parse((await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=DAILY', '--limit', '2', '--json')).out)).toHaveLength(2);
  });

  it('answers a bad rule with a problem on standard error and a non-zero exit', async () => {
    const said = await run('occurrences', '--dtstart', '2027-03-01T09:00:00', '--tz', 'Europe/Madrid', '--rrule', 'FREQ=SOMETIMES');
    expect(said.code).toBe(1);
    expect(JSON.parse(said.err)).toMatchObject({ type: 'urn:bellround:problem:bad-input', status: 400 });
    expect(said.err).not.toMatch(/at .*\.ts/);
  });

  it('decodes an event report, and names what is wrong with one', async () => {
    // a message printed in public text restating SIA DC-05 (checksum 8)
    expect((await run('decode-event', '1234181131010158')).out).toMatch(/1234/);
    const wrong = await run('decode-event', '1234181131010157');
    expect(wrong.code).toBe(1);
    expect(JSON.parse(wrong.err).detail).toMatch(/checksum/i);
  });

  it('says what is accepted when it is used wrongly', async () => {
    expect(await run('dance')).toMatchObject({ code: 2, err: expect.stringMatching(/accepted: import, plan/) });
    expect(await run('occurrences', '--speed', '3')).toMatchObject({ code: 2, err: expect.stringMatching(/usage: occurrences/) });
    expect(await run('import', 'sites')).toMatchObject({ code: 2 });
    expect((await run('--help')).out).toMatch(/import <kind>/);
    expect((await run('plan', '--help')).out).toMatch(/--seconds/);
  });
});
