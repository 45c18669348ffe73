import type { UserRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { dayShort, localDayAt } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, type Column, ConfirmDialog, Empty, Loaded, Mark, SearchBox, Section, Table, Tag, useToast } from '../../../shared/ui/index.js';
import { useDisableUser, useUsers } from '../api/users.js';
import { AddUserDialog } from './add-user-dialog.js';
import { LeaverDrawer } from './leaver-drawer.js';
import { phrase } from '../../../shared/language/index.js';
import { ROLE } from '../../../shared/words.js';

export function UsersSection() {
  const users = useUsers();
  const [isAdding, setAdding] = useState(false);
  const [ending, setEnding] = useState<UserRow | null>(null);
  const [leaving, setLeaving] = useState<UserRow | null>(null);
  const [search, setSearch] = useState('');
  const { company, userId } = useMe();
  const columns = useMemo(() => columnsFor(userId, company.timeZone, setEnding, setLeaving), [userId, company.timeZone]);
  const matches = (user: UserRow) => `${user.name} ${user.email} ${ROLE[user.role]}`.toLowerCase().includes(search.trim().toLowerCase());
  return (
    <Section title={phrase('identity.who-may-sign-in')} actions={<><SearchBox label={phrase('identity.search-people')} value={search} onChange={setSearch} /><Button kind="do" onClick={() => setAdding(true)}>{phrase('identity.let-a-person-sign-in')}</Button></>}>
      <Loaded query={users} what={phrase('identity.who-may-sign-in-2')}>{({ rows }) => {
        const found = rows.filter(matches);
        return found.length > 0
          ? <Table caption={phrase('identity.who-may-sign-in')} columns={columns} rows={found} rowKey={(user) => user.id} startSorted={{ key: 'name', down: false }} />
          : <Empty title={rows.length === 0 ? phrase('identity.nobody-may-sign-in-yet') : phrase('identity.nobody-is-called-search', { search })} action={rows.length === 0 ? undefined : <Button onClick={() => setSearch('')}>{phrase('identity.show-everybody')}</Button>} />;
      }}</Loaded>
      {isAdding ? <AddUserDialog onClose={() => setAdding(false)} /> : null}
      {ending ? <EndAccess user={ending} onClose={() => setEnding(null)} onEnded={() => { setLeaving(ending); setEnding(null); }} /> : null}
      {leaving ? <LeaverDrawer user={leaving} onClose={() => setLeaving(null)} /> : null}
    </Section>
  );
}

function columnsFor(ownId: string, timeZone: string, onEnd: (user: UserRow) => void, onLeaver: (user: UserRow) => void): Column<UserRow>[] {
  return [
    { key: 'name', title: phrase('identity.name'), cell: (user) => user.name, sortBy: (user) => user.name },
    { key: 'email', title: phrase('identity.e-mail'), cell: (user) => user.email, sortBy: (user) => user.email },
    { key: 'role', title: phrase('identity.role'), cell: (user) => <Tag>{ROLE[user.role]}</Tag>, sortBy: (user) => user.role },
    { key: 'access', title: phrase('identity.access'), sortBy: (user) => user.disabledAt ?? '', cell: (user) => (user.disabledAt ? <Mark shape="absent">{phrase('identity.ended-day', { day: dayShort(localDayAt(new Date(user.disabledAt), timeZone)) })}</Mark> : <Mark shape="whole" tone="good">{phrase('identity.may-sign-in')}</Mark>) },
    { key: 'act', title: '', cell: (user) => (
      <span className="row">
        {user.id === ownId ? <span className="quiet">{phrase('identity.you-2')}</span> : null}
        {user.role === 'technician' ? <Button size="small" onClick={() => onLeaver(user)}>{phrase('identity.codes-and-keys')}</Button> : null}
        {user.disabledAt || user.id === ownId ? null : <Button size="small" onClick={() => onEnd(user)}>{phrase('identity.end-access')}</Button>}
      </span>) },
  ];
}

function EndAccess({ user, onClose, onEnded }: { user: UserRow; onClose: () => void; onEnded: () => void }) {
  const say = useToast();
  const disable = useDisableUser(() => { say(phrase('identity.name-can-no-longer-sign-in', { name: user.name })); onEnded(); });
  return (
    <ConfirmDialog title={phrase('identity.end-name-s-access', { name: user.name })} words={phrase('identity.end-access')} danger busy={disable.isPending} problem={disable.error} onClose={onClose} onConfirm={() => disable.mutate({ userId: user.id })}>
      <p>{phrase('identity.all-sessions-of-email-end-at-once', { email: user.email })}</p>
    </ConfirmDialog>
  );
}
