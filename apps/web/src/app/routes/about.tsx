import { CautionBox, Page, Section } from '../../shared/ui/index.js';

export default function AboutScreen() {
  return (
    <Page title="What this is, and is not" lead="Bellround plans and records the recurring checks of monitored alarm systems, and keeps their proof." slim>
      <CautionBox title="First">
        <ul>
          <li>Local codes and licensed practice prevail over anything shown here.</li>
          <li>Checks sound sounders and can send alarms. Put the account on test with the station before, give it back after, and leave nothing out of normal.</li>
          <li>Following this tool is not compliance. Whether a rule is met is for the authority, the insurer or the contract to say.</li>
        </ul>
      </CautionBox>
      <Section title="What it is not">
        <ul className="stack" style={{ listStyle: 'disc', paddingInlineStart: '1.25rem' }}>
          <li>No alarm-receiving centre. It receives test signals only to see that they arrived. It watches nobody's alarms and dispatches nobody.</li>
          <li>No certificate. A proof here says what was checked, by whom, when, and with which readings.</li>
          <li>No source of rules. Limits and intervals are data with their source beside them; some are common practice or taken from memory, and say so.</li>
        </ul>
      </Section>
      <Section title="What 'can't tell' means">
        <p>Something unknown (an undated battery, a site taken over without records, a silent path with a hole in its history) is told as unknown. It never looks like good.</p>
      </Section>
    </Page>
  );
}
