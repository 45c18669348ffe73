import { dayWords } from '../shared/format.js';
import { setManners, temperatureWords, distanceWords, useManners } from '../shared/locale.js';
import { Section, Select } from '../shared/ui/index.js';
import { LANGUAGES, type Language, chooseLanguage, language, phrase } from '../shared/language/index.js';

/** How dates and measures are written on this device: by its region, or as chosen here. */
export function MannersChoice() {
  const now = useManners();
  return (
    <Section title={phrase('app.dates-and-units-on-this-device')}>
      <div className="row end">
        <Select label={phrase('app.language')} value={language()} onChange={(wanted) => chooseLanguage(wanted as Language)} options={Object.entries(LANGUAGES).map(([value, label]) => ({ value, label }))} />
        <Select label={phrase('app.dates')} value={now.dates} onChange={(dates) => setManners({ ...now, dates: dates as typeof now.dates })} options={[{ value: 'day-first', label: phrase('app.day-before-month') }, { value: 'month-first', label: phrase('app.month-before-day') }]} />
        <Select label={phrase('app.temperatures-and-distances')} value={now.units} onChange={(units) => setManners({ ...now, units: units as typeof now.units })} options={[{ value: 'metric', label: phrase('app.c-and-kilometres') }, { value: 'imperial', label: phrase('app.f-and-miles') }]} />
      </div>
      <p className="small quiet">{phrase('app.written-so-day-temperature-distance-months-are', { day: dayWords('2026-03-04'), temperature: temperatureWords(25, 0), distance: distanceWords(12_300) })}</p>
    </Section>
  );
}
