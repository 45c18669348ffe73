import type { UserRow } from '@bellround/contracts';
import { useMemo, useState } from 'react';
import { dayShort, localDayAt } from '../../../shared/format.js';
import { useMe } from '../../../shared/session.js';
import { Button, type Column, ConfirmDialog, Empty, Loaded, Mark, SearchBox, Section, Table, Tag, useToast } from '../../../shared/ui/index.js';
import { useDisableUser, useUsers } from '../api/users.js';
import { AddUserDialog } from './add-user-dialog.js';
import { LeaverDrawer } from './leaver-drawer.js';

export function UsersSection() {
  const users = useUsers();
  const [isAdding, setAdding] = useState(false);
  const [ending, setEnding] = useState<UserRow | null>(null);
  const [leaving, setLeaving] = useState<UserRow | null>(null);
  const [search, setSearch] = useState('');
  const { company, userId } = useMe();
  const columns = useMemo(() => columnsFor(userId, company.timeZone, setEnding, setLeaving), [userId, company.timeZone]);
  const matches = (user: UserRow) => `${user.name} ${user.email} ${user.role}`.toLowerCase().includes(search.trim().toLowerCase());
  return (
    <Section title="Who may sign in" actions={<><SearchBox label="Search people" value={search} onChange={setSearch} /><Button kind="do" onClick={() => setAdding(true)}>Let a person sign in</Button></>}>
      <Loaded query={users} what="who may sign in">{({ rows }) => {
        const found = rows.filter(matches);
        return found.length > 0
          ? <Table caption="Who may sign in" columns={columns} rows={found} rowKey={(user) => user.id} startSorted={{ key: 'name', down: false }} />
          : <Empty title={rows.length === 0 ? 'Nobody may sign in yet' : `Nobody is called '${search}'`} action={rows.length === 0 ? undefined : <Button onClick={() => setSearch('')}>Show everybody</Button>} />;
      }}</Loaded>
      {isAdding ? <AddUserDialog onClose={() => setAdding(false)} /> : null}
      {ending ? <EndAccess user={ending} onClose={() => setEnding(null)} onEnded={() => { setLeaving(ending); setEnding(null); }} /> : null}
      {leaving ? <LeaverDrawer user={leaving} onClose={() => setLeaving(null)} /> : null}
    </Section>
  );
}

function columnsFor(ownId: string, timeZone: string, onEnd: (user: UserRow) => void, onLeaver: (user: UserRow) => void): Column<UserRow>[] {
  return [
    { key: 'name', title: 'Name', cell: (user) => user.name, sortBy: (user) => user.name },
    { key: 'email', title: 'E-mail', cell: (user) => user.email, sortBy: (user) => user.email },
    { key: 'role', title: 'Role', cell: (user) => <Tag>{user.role}</Tag>, sortBy: (user) => user.role },
    { key: 'access', title: 'Access', sortBy: (user) => user.disabledAt ?? '', cell: (user) => (user.disabledAt ? <Mark shape="absent">ended {dayShort(localDayAt(new Date(user.disabledAt), timeZone))}</Mark> : <Mark shape="whole" tone="good">may sign in</Mark>) },
    { key: 'act', title: '', cell: (user) => (
      <span className="row">
        {user.id === ownId ? <span className="quiet">you</span> : null}
        {user.role === 'technician' ? <Button size="small" onClick={() => onLeaver(user)}>Codes and keys</Button> : null}
        {user.disabledAt || user.id === ownId ? null : <Button size="small" onClick={() => onEnd(user)}>End access</Button>}
      </span>) },
  ];
}

function EndAccess({ user, onClose, onEnded }: { user: UserRow; onClose: () => void; onEnded: () => void }) {
  const say = useToast();
  const disable = useDisableUser(() => { say(`${user.name} can no longer sign in`); onEnded(); });
  return (
    <ConfirmDialog title={`End ${user.name}'s access?`} words="End access" danger busy={disable.isPending} problem={disable.error} onClose={onClose} onConfirm={() => disable.mutate({ userId: user.id })}>
      <p>All sessions of {user.email} end at once, on every device. What they recorded stays, under their name. Next you see which codes to change and which keys to collect. A device without a connection forgets what it could read after 24 hours at most.</p>
    </ConfirmDialog>
  );
}
