import { useState } from 'react';
import { useOutbox } from '../../../shared/device-outbox.js';
import { countWords } from '../../../shared/format.js';
import { useOpenHolds } from '../../../shared/holds.js';
import { Button, ConfirmDialog } from '../../../shared/ui/index.js';
import { useSignOut } from '../api/sign-out.js';

/** Asks first when something would be left behind: an account on test, or entries not yet sent. */
export function SignOutButton() {
  const [isAsking, setAsking] = useState(false);
  const signOut = useSignOut();
  const waiting = useOutbox().entries.filter((entry) => entry.state !== 'aside').length;
  const holds = useOpenHolds();
  const leave = () => signOut.mutate({});
  return (
    <>
      <Button size="small" busy={signOut.isPending ? 'Signing out …' : false} onClick={() => (waiting > 0 || holds.length > 0 ? setAsking(true) : leave())}>Sign out</Button>
      {isAsking || signOut.error ? (
        <ConfirmDialog title="Sign out now?" words="Sign out" danger busy={signOut.isPending} problem={signOut.error} onConfirm={leave} onClose={() => { setAsking(false); signOut.reset(); }}>
          {holds.map((hold) => <p key={hold.holdId}><strong>{hold.siteName} is still on test</strong> (reference {hold.reference}). Signing out does not give it back to the station.</p>)}
          {waiting > 0 ? <p>{countWords(waiting, 'entry has', 'entries have')} not reached the server. They stay on this device until you sign in here again.</p> : null}
        </ConfirmDialog>
      ) : null}
    </>
  );
}
