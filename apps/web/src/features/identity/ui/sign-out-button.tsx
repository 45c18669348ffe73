import { useState } from 'react';
import { useOutbox } from '../../../shared/device-outbox.js';
import { useOpenHolds } from '../../../shared/holds.js';
import { Button, ConfirmDialog } from '../../../shared/ui/index.js';
import { useSignOut } from '../api/sign-out.js';
import { phrase } from '../../../shared/language/index.js';

/** Asks first when something would be left behind: an account on test, or entries not yet sent. */
export function SignOutButton() {
  const [isAsking, setAsking] = useState(false);
  const signOut = useSignOut();
  const waiting = useOutbox().entries.filter((entry) => entry.state !== 'aside').length;
  const holds = useOpenHolds();
  const leave = () => signOut.mutate({});
  return (
    <>
      <Button size="small" busy={signOut.isPending ? phrase('identity.signing-out') : false} onClick={() => (waiting > 0 || holds.length > 0 ? setAsking(true) : leave())}>{phrase('identity.sign-out')}</Button>
      {isAsking || signOut.error ? (
        <ConfirmDialog title={phrase('identity.sign-out-now')} words={phrase('identity.sign-out')} danger busy={signOut.isPending} problem={signOut.error} onConfirm={leave} onClose={() => { setAsking(false); signOut.reset(); }}>
          {holds.map((hold) => <p key={hold.holdId}><strong>{phrase('identity.sitename-is-still-on-test', { siteName: hold.siteName })}</strong> {phrase('identity.reference-reference-signing-out-does-not-give', { reference: hold.reference })}</p>)}
          {waiting > 0 ? <p>{phrase('identity.waiting-not-reached-the-server-they-stay', { waiting: phrase('count.entry-has', { n: waiting }) })}</p> : null}
        </ConfirmDialog>
      ) : null}
    </>
  );
}
