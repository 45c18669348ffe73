import { dayWords } from '../shared/format.js';
import { setManners, temperatureWords, distanceWords, useManners } from '../shared/locale.js';
import { Section, Select } from '../shared/ui/index.js';

/** How dates and measures are written on this device: by its region, or as chosen here. */
export function MannersChoice() {
  const now = useManners();
  return (
    <Section title="Dates and units on this device">
      <div className="row end">
        <Select label="Dates" value={now.dates} onChange={(dates) => setManners({ ...now, dates: dates as typeof now.dates })} options={[{ value: 'day-first', label: 'day before month' }, { value: 'month-first', label: 'month before day' }]} />
        <Select label="Temperatures and distances" value={now.units} onChange={(units) => setManners({ ...now, units: units as typeof now.units })} options={[{ value: 'metric', label: '°C and kilometres' }, { value: 'imperial', label: '°F and miles' }]} />
      </div>
      <p className="small quiet">Written so: {dayWords('2026-03-04')}, {temperatureWords(25, 0)}, {distanceWords(12_300)}. Months are always in letters. Readings are entered and kept in the units of their checks; where one is shown otherwise, what was read stands beside it.</p>
    </Section>
  );
}
