import { CautionBox, Page, Section } from '../../shared/ui/index.js';
import { phrase } from '../../shared/language/index.js';

export default function AboutScreen() {
  return (
    <Page title={phrase('about.what-this-is-and-is-not')} lead={phrase('about.bellround-plans-and-records-the-recurring-checks')} slim>
      <CautionBox title={phrase('about.first')}>
        <ul>
          <li>{phrase('about.local-codes-and-licensed-practice-prevail-over')}</li>
          <li>{phrase('about.checks-sound-sounders-and-can-send-alarms')}</li>
          <li>{phrase('about.following-this-tool-is-not-compliance-whether')}</li>
        </ul>
      </CautionBox>
      <Section title={phrase('about.what-it-is-not')}>
        <ul className="stack" style={{ listStyle: 'disc', paddingInlineStart: '1.25rem' }}>
          <li>{phrase('about.no-alarm-receiving-centre-it-receives-test')}</li>
          <li>{phrase('about.no-certificate-a-proof-here-says-what')}</li>
          <li>{phrase('about.no-source-of-rules-limits-and-intervals')}</li>
        </ul>
      </Section>
      <Section title={phrase('about.what-cant-tell-means')}>
        <p>{phrase('about.something-unknown-an-undated-battery-a-site')}</p>
      </Section>
    </Page>
  );
}
