import type { ReactNode } from 'react';
import { useMay, useMe } from '../../../shared/session.js';
import { type Theme, setTheme, useTheme } from '../../../shared/theme.js';
import { momentWords } from '../../../shared/format.js';
import { Choices, Facts, Page, Section } from '../../../shared/ui/index.js';
import { UsersSection } from './users-section.js';

const THEMES: { value: Theme; label: string }[] = [{ value: 'system', label: 'As the device' }, { value: 'light', label: 'Day' }, { value: 'dark', label: 'Night' }];

export function SettingsScreen({ children }: { children?: ReactNode }) {
  const me = useMe();
  const mayOwn = useMay('own');
  const theme = useTheme();
  return (
    <Page title="Settings" lead="Your company, who may sign in, and how this device shows things.">
      <div className="grid">
        <Section title="Company">
          <Facts of={[['Name', me.company.name], ['Short name', me.company.slug], ['Time zone', me.company.timeZone]]} />
        </Section>
        <Section title="You">
          <Facts of={[['Name', me.name], ['E-mail', me.email], ['Role', me.role], ['Signed in until', momentWords(me.sessionEndsAt, me.company.timeZone)]]} />
        </Section>
        <Section title="This device">
          <Choices label="Day or night" value={theme} onChange={setTheme} options={THEMES} />
        </Section>
      </div>
      {children}
      {mayOwn ? <UsersSection /> : null}
    </Page>
  );
}
