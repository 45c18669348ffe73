import type { ReactNode } from 'react';
import { useMay, useMe } from '../../../shared/session.js';
import { type Theme, setTheme, useTheme } from '../../../shared/theme.js';
import { momentWords } from '../../../shared/format.js';
import { Choices, Facts, Page, Section } from '../../../shared/ui/index.js';
import { UsersSection } from './users-section.js';
import { phrase } from '../../../shared/language/index.js';
import { ROLE } from '../../../shared/words.js';

const THEMES: { value: Theme; label: string }[] = [{ value: 'system', label: phrase('identity.as-the-device') }, { value: 'light', label: phrase('identity.day') }, { value: 'dark', label: phrase('identity.night') }];

export function SettingsScreen({ children }: { children?: ReactNode }) {
  const me = useMe();
  const mayOwn = useMay('own');
  const theme = useTheme();
  return (
    <Page title={phrase('identity.settings')} lead={phrase('identity.your-company-who-may-sign-in-and')}>
      <div className="grid">
        <Section title={phrase('identity.company')}>
          <Facts of={[[phrase('identity.name'), me.company.name], [phrase('identity.short-name'), me.company.slug], [phrase('identity.time-zone'), me.company.timeZone]]} />
        </Section>
        <Section title={phrase('identity.you')}>
          <Facts of={[[phrase('identity.name'), me.name], [phrase('identity.e-mail'), me.email], [phrase('identity.role'), ROLE[me.role]], [phrase('identity.signed-in-until'), momentWords(me.sessionEndsAt, me.company.timeZone)]]} />
        </Section>
        <Section title={phrase('identity.this-device')}>
          <Choices label={phrase('identity.day-or-night')} value={theme} onChange={setTheme} options={THEMES} />
        </Section>
      </div>
      {children}
      {mayOwn ? <UsersSection /> : null}
    </Page>
  );
}
