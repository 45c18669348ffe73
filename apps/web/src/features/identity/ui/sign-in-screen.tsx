import type { Me } from '@bellround/contracts';
import { useState } from 'react';
import { isProblem } from '../../../shared/client.js';
import { Button, Choices, Form, TextField } from '../../../shared/ui/index.js';
import { useSignIn } from '../api/sign-in.js';
import './sign-in-screen.css';
import { phrase } from '../../../shared/language/index.js';

interface CompanyChoice { slug: string; name: string }

export function SignInScreen({ onSignedIn, notice }: { onSignedIn: (me: Me) => void; notice?: string }) {
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [company, setCompany] = useState<string | null>(null);
  const [companies, setCompanies] = useState<readonly CompanyChoice[]>([]);
  const signIn = useSignIn(onSignedIn);
  const missing = [...(email.trim() === '' ? [{ path: 'email', message: phrase('identity.enter-your-e-mail-address') }] : []), ...(password === '' ? [{ path: 'password', message: phrase('identity.enter-your-password') }] : [])];
  const [isTried, setTried] = useState(false);
  const submit = () => {
    setTried(true);
    if (missing.length > 0) return;
    signIn.mutate({ email, password, ...(company ? { company } : {}) }, {
      onError: (error) => {
        if (!isProblem(error, 'ChooseCompany')) return;
        const choices = (error.data['companies'] ?? []) as CompanyChoice[];
        setCompanies(choices);
        setCompany(choices[0]?.slug ?? null);
      },
    });
  };
  const isChoosing = companies.length > 0;
  const problem = isProblem(signIn.error, 'ChooseCompany') ? null : signIn.error;
  return (
    <main className="sign-in">
      <div className="sign-in-leaf">
        <h1><BellLine />{phrase('identity.bellround')}</h1>
        <p className="quiet">{phrase('identity.proves-site-by-site-that-every-monitored')}</p>
        {notice ? <p className="note" role="status">{notice}</p> : null}
        <Form problem={problem} {...(isTried ? { faults: missing } : {})} onSubmit={submit}>
          <TextField label={phrase('identity.e-mail')} name="email" required type="email" autoComplete="username" autoFocus value={email} onChange={(value) => { setEmail(value); setCompanies([]); setCompany(null); }} />
          <TextField label={phrase('identity.password')} name="password" required type="password" autoComplete="current-password" value={password} onChange={setPassword} />
          {isChoosing ? <Choices label={phrase('identity.this-e-mail-belongs-to-several-companies')} value={company} onChange={setCompany} options={companies.map((one) => ({ value: one.slug, label: one.name }))} /> : null}
          <Button kind="do" size="big" fill type="submit" busy={signIn.isPending ? phrase('identity.signing-in') : false}>{isChoosing ? phrase('identity.sign-in-to-this-company') : phrase('identity.sign-in')}</Button>
        </Form>
        <p className="quiet small">{phrase('identity.local-codes-and-licensed-practice-prevail-no')}</p>
      </div>
    </main>
  );
}

/** The bell's round as one line: out, along the sites, and back. */
function BellLine() {
  return (
    <svg viewBox="0 0 120 40" width="120" height="40" aria-hidden="true" fill="none" stroke="currentColor" strokeWidth="2.500" strokeLinecap="round" strokeLinejoin="round">
      <path d="M2 36h26c3-4 4-8 4-14 0-9 5-15 11-15s11 6 11 15c0 6 1 10 4 14h60M43 2v5M43 24v12" /><path d="M74 36v-7M90 36v-12M106 36v-5" strokeWidth="4" />
    </svg>
  );
}
