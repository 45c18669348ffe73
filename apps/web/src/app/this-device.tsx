import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { clockFault, OFFLINE_HOURS, useContact } from '../shared/contact.js';
import { type DayPackState, useDayPack } from '../shared/day-pack.js';
import { useOutbox } from '../shared/device-outbox.js';
import { countWords, momentWords, numberWords } from '../shared/format.js';
import { useMay, useMe } from '../shared/session.js';
import { Button, Facts, Section, useToast } from '../shared/ui/index.js';
import { fillDayPack } from './day-pack-filler.js';
import { installApp, useInstall } from './install.js';

const MIB = 1024 * 1024;

/** What of the day pack is here, in one sentence. */
export function packWords(pack: DayPackState, timeZone: string): string {
  if (pack.at === null) return 'nothing yet';
  const here = pack.visits === pack.of ? `${countWords(pack.visits, 'visit')} of today and tomorrow` : `${numberWords(pack.visits)} of ${countWords(pack.of, 'visit')} of today and tomorrow`;
  return `round and ${here}, as of ${momentWords(pack.at, timeZone)}`;
}

export function packTrouble(pack: DayPackState): string | null {
  if (pack.trouble === 'full') return 'This device has no room for the rest. Free some space (photos, other apps), then fetch it again. Nothing that you entered is lost.';
  if (pack.trouble === 'no-answer') return 'The connection ended before all of it was here. It goes on by itself when there is one again.';
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
    <Section title="Without a network" actions={canInstall ? <Button onClick={() => void installApp()}>Put Bellround on this device</Button> : undefined}>
      <Facts of={[
        ...(isTechnician ? [['Day pack', packWords(pack, me.company.timeZone)] as [string, string]] : []),
        ['Waits to be sent', waiting === 0 ? 'nothing' : countWords(waiting, 'entry', 'entries')],
        ['Last word from the server', answeredAt === null ? null : momentWords(new Date(answeredAt).toISOString(), me.company.timeZone)],
        ['Clock', offsetMs === null ? null : clockFault(offsetMs) ?? 'agrees with the server'],
        ['Room', room ? `${room.usedMib} MiB used${room.freeMib === null ? '' : `, ${numberWords(room.freeMib, 0)} MiB free`}${room.isLasting ? '; the browser keeps it until you clear it' : '; the browser may clear it when the device runs full'}` : null],
      ]} />
      {trouble ? <p className="note">{trouble}</p> : null}
      {isTechnician ? <div className="row"><FetchPack disabled={isUp === false} /></div> : null}
      <p className="small quiet">What can be read here is only yours. It is removed when you sign out, when your access ends, and after {OFFLINE_HOURS} hours without a word from the server. What you entered stays until it is sent.</p>
    </Section>
  );
}

function FetchPack({ disabled }: { disabled: boolean }) {
  const say = useToast();
  const [isBusy, setBusy] = useState(false);
  const fetchNow = async () => {
    setBusy(true);
    await fillDayPack().then(() => say('Round and visits fetched to this device')).catch((error: Error) => say(error.message));
    setBusy(false);
  };
  return <Button disabled={disabled} busy={isBusy ? 'Fetching …' : false} onClick={() => void fetchNow()}>Fetch the day pack now</Button>;
}

/** At the foot of My round: what would still be here without a network. */
export function DayPackNote() {
  const me = useMe();
  const pack = useDayPack();
  const { isUp } = useContact();
  const trouble = packTrouble(pack);
  if (pack.at === null || isUp === false) return null;
  return <p className="small quiet" role="status">On this device for work without a network: {packWords(pack, me.company.timeZone)}. {trouble}</p>;
}
