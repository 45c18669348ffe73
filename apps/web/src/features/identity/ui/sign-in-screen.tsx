import type { Me } from '@bellround/contracts';
import { useState } from 'react';
import { isProblem } from '../../../shared/client.js';
import { Button, Choices, Form, TextField } from '../../../shared/ui/index.js';
import { useSignIn } from '../api/sign-in.js';
import './sign-in-screen.css';

interface CompanyChoice { slug: string; name: string }

export function SignInScreen({ onSignedIn, notice }: { onSignedIn: (me: Me) => void; notice?: string }) {
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [company, setCompany] = useState<string | null>(null);
  const [companies, setCompanies] = useState<readonly CompanyChoice[]>([]);
  const signIn = useSignIn(onSignedIn);
  const missing = [...(email.trim() === '' ? [{ path: 'email', message: 'enter your e-mail address' }] : []), ...(password === '' ? [{ path: 'password', message: 'enter your password' }] : [])];
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
        <h1><BellLine />Bellround</h1>
        <p className="quiet">Proves, site by site, that every monitored alarm system was tested on time and works.</p>
        {notice ? <p className="note" role="status">{notice}</p> : null}
        <Form problem={problem} {...(isTried ? { faults: missing } : {})} onSubmit={submit}>
          <TextField label="E-mail" name="email" required type="email" autoComplete="username" autoFocus value={email} onChange={(value) => { setEmail(value); setCompanies([]); setCompany(null); }} />
          <TextField label="Password" name="password" required type="password" autoComplete="current-password" value={password} onChange={setPassword} />
          {isChoosing ? <Choices label="This e-mail belongs to several companies. Which one?" value={company} onChange={setCompany} options={companies.map((one) => ({ value: one.slug, label: one.name }))} /> : null}
          <Button kind="do" size="big" fill type="submit" busy={signIn.isPending ? 'Signing in …' : false}>{isChoosing ? 'Sign in to this company' : 'Sign in'}</Button>
        </Form>
        <p className="quiet small">Local codes and licensed practice prevail. No certificate of compliance; no alarm-receiving centre: nobody is dispatched from here.</p>
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
