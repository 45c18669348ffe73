import { NewUser, TimeZone, fieldFaults } from '@bellround/contracts';
import { hash } from '@node-rs/argon2';
import { addCompany, addUser } from '@bellround/operations';
import { required, text, WrongUse, type TerminalAct } from './act.js';

export const company: TerminalAct = {
  name: 'company', usage: 'company add --slug <short name> --name <name> --tz <zone>', words: 'Makes an empty company.', takes: [1, 1],
  options: { slug: { type: 'string', words: 'short name, letters and digits' }, name: { type: 'string', words: 'full name' }, tz: { type: 'string', words: 'IANA time zone' } },
  run: async ({ words, options }, terminal) => {
    if (words[0] !== 'add') throw new WrongUse(`'company ${words[0] ?? ''}' is not known; accepted is 'company add'`);
    const slug = required('slug', options['slug']);
    if (!/^[a-z0-9-]{2,40}$/.test(slug)) throw new WrongUse(`--slug is '${slug}'; accepted are 2 to 40 of a-z, 0-9 and -`);
    const zone = TimeZone.safeParse(required('tz', options['tz']));
    if (!zone.success) throw new WrongUse(`--tz is '${String(options['tz'])}'; accepted is an IANA time zone such as Europe/Madrid`);
    const id = terminal.newId();
    const made = await terminal.perform(addCompany, { companyId: id, userId: null, name: 'terminal', role: 'house', technicianId: null }, { slug, name: required('name', options['name']), timeZone: zone.data });
    return { data: made, lines: [`company ${made.slug} made`] };
  },
};

export const user: TerminalAct = {
  name: 'user', usage: 'user add --email <e-mail> --name <name> --role <owner|dispatcher|technician|auditor> [--technician id] [--password <text>] [--company slug]', words: 'Lets a person sign in.', takes: [1, 1],
  options: { email: { type: 'string', words: 'e-mail' }, name: { type: 'string', words: 'name' }, role: { type: 'string', words: 'owner, dispatcher, auditor or technician' }, technician: { type: 'string', words: 'id of the technician' }, password: { type: 'string', words: 'at least 12 characters; better in BELLROUND_PASSWORD, which other users of the machine cannot see' }, company: { type: 'string', words: 'short name of the company, when there are several' } },
  run: async ({ words, options }, terminal) => {
    if (words[0] !== 'add') throw new WrongUse(`'user ${words[0] ?? ''}' is not known; accepted is 'user add'`);
    const parsed = NewUser.safeParse({ id: terminal.newId(), email: options['email'], name: options['name'], role: options['role'], password: options['password'] ?? process.env['BELLROUND_PASSWORD'], technicianId: text(options['technician']) ?? null });
    if (!parsed.success) throw new WrongUse(fieldFaults(parsed.error).map((fault) => `--${fault.path}: ${fault.message}`).join('; '));
    const { password, ...rest } = parsed.data;
    const made = await terminal.perform(addUser, await terminal.house(text(options['company'])), { ...rest, passwordHash: await hash(password, { memoryCost: 19_456, timeCost: 2, parallelism: 1 }) });
    return { data: made, lines: [`${made.name} may sign in as ${made.role}`] };
  },
};
