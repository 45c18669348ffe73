import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { clockFault, OFFLINE_HOURS, useContact } from '../shared/contact.js';
import { type DayPackState, useDayPack } from '../shared/day-pack.js';
import { useOutbox } from '../shared/device-outbox.js';
import { momentWords, numberWords } from '../shared/format.js';
import { useMay, useMe } from '../shared/session.js';
import { Button, Facts, Section, useToast } from '../shared/ui/index.js';
import { fillDayPack } from './day-pack-filler.js';
import { installApp, useInstall } from './install.js';
import { phrase } from '../shared/language/index.js';

const MIB = 1024 * 1024;

/** What of the day pack is here, in one sentence. */
export function packWords(pack: DayPackState, timeZone: string): string {
  if (pack.at === null) return phrase('app.nothing-yet');
  const here = pack.visits === pack.of ? phrase('app.visits-of-today-and-tomorrow', { visits: phrase('count.visit', { n: pack.visits }) }) : phrase('app.visits-of-of-of-today-and-tomorrow', { visits: numberWords(pack.visits), of: phrase('count.visit', { n: pack.of }) });
  return phrase('app.round-and-here-as-of-at', { here, at: momentWords(pack.at, timeZone) });
}

export function packTrouble(pack: DayPackState): string | null {
  if (pack.trouble === 'full') return phrase('app.this-device-has-no-room-for-the');
  if (pack.trouble === 'no-answer') return phrase('app.the-connection-ended-before-all-of-it');
  return null;
}

function useRoom() {
  return useQuery({ queryKey: ['this-device', 'room'], staleTime: 30_000, queryFn: async () => {
    const estimate = await navigator.storage?.estimate?.();
    const isLasting = (await navigator.storage?.persisted?.()) ?? false;
    return { usedMib: Math.round((estimate?.usage ?? 0) / MIB), freeMib: estimate?.quota === undefined ? null : Math.max(0, Math.round((estimate.quota - (estimate.usage ?? 0)) / MIB)), isLasting };
  } });
}

/** What this device keeps for work without a network, and how much room it has. */
export function ThisDevice() {
  const me = useMe();
  const isTechnician = useMay('work') && me.technicianId !== null;
  const pack = useDayPack();
  const { isUp, answeredAt, offsetMs } = useContact();
  const { canInstall } = useInstall();
  const waiting = useOutbox().entries.filter((entry) => entry.owner === `${me.company.id}/${me.userId}`).length;
  const room = useRoom().data;
  const trouble = packTrouble(pack);
  return (
    <Section title={phrase('app.without-a-network')} actions={canInstall ? <Button onClick={() => void installApp()}>{phrase('app.put-bellround-on-this-device')}</Button> : undefined}>
      <Facts of={[
        ...(isTechnician ? [[phrase('app.day-pack'), packWords(pack, me.company.timeZone)] as [string, string]] : []),
        [phrase('app.waits-to-be-sent'), waiting === 0 ? phrase('visits.nothing') : phrase('count.entry', { n: waiting })],
        [phrase('app.last-word-from-the-server'), answeredAt === null ? null : momentWords(new Date(answeredAt).toISOString(), me.company.timeZone)],
        [phrase('app.clock'), offsetMs === null ? null : clockFault(offsetMs) ?? phrase('app.agrees-with-the-server')],
        [phrase('app.room'), room ? phrase('app.usedmib-mib-used-value-value2', { usedMib: room.usedMib, value: room.freeMib === null ? '' : phrase('app.freemib-mib-free', { freeMib: numberWords(room.freeMib, 0) }), value2: room.isLasting ? phrase('app.the-browser-keeps-it-until-you-clear') : phrase('app.the-browser-may-clear-it-when-the') }) : null],
      ]} />
      {trouble ? <p className="note">{trouble}</p> : null}
      {isTechnician ? <div className="row"><FetchPack disabled={isUp === false} /></div> : null}
      <p className="small quiet">{phrase('app.what-can-be-read-here-is-only', { OFFLINE_HOURS })}</p>
    </Section>
  );
}

function FetchPack({ disabled }: { disabled: boolean }) {
  const say = useToast();
  const [isBusy, setBusy] = useState(false);
  const fetchNow = async () => {
    setBusy(true);
    await fillDayPack().then(() => say(phrase('app.round-and-visits-fetched-to-this-device'))).catch((error: Error) => say(error.message));
    setBusy(false);
  };
  return <Button disabled={disabled} busy={isBusy ? phrase('app.fetching') : false} onClick={() => void fetchNow()}>{phrase('app.fetch-the-day-pack-now')}</Button>;
}

/** At the foot of My round: what would still be here without a network. */
export function DayPackNote() {
  const me = useMe();
  const pack = useDayPack();
  const { isUp } = useContact();
  const trouble = packTrouble(pack);
  if (pack.at === null || isUp === false) return null;
  return <p className="small quiet" role="status">{phrase('app.on-this-device-for-work-without-a', { pack: packWords(pack, me.company.timeZone) })} {trouble}</p>;
}
