import { SettingsScreen } from '../../features/identity/ui/settings-screen.js';
import { FeedsSection } from '../../features/planning/ui/feeds-section.js';
import { PlanningRulesSection } from '../../features/planning/ui/planning-rules.js';
import { useMay } from '../../shared/session.js';
import { MannersChoice } from '../manners-choice.js';
import { ThisDevice } from '../this-device.js';

export default function Settings() {
  return <SettingsScreen><ThisDevice /><MannersChoice />{useMay('work') ? <FeedsSection /> : null}{useMay('plan') ? <PlanningRulesSection /> : null}</SettingsScreen>;
}
