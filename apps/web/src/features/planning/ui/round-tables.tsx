import type { WeekView } from '@bellround/contracts';
import { clockWords, dayWords, minutesWords } from '../../../shared/format.js';
import { Button, Mark, Section, Table } from '../../../shared/ui/index.js';
import { phrase } from '../../../shared/language/index.js';

/** The loom in words: each round as a table. */
export function RoundTables({ view, onChoose }: { view: WeekView; onChoose: (visitId: string) => void }) {
  const visits = new Map(view.visits.map((visit) => [visit.id, visit]));
  const rounds = view.rounds.toSorted((a, b) => a.day.localeCompare(b.day));
  if (rounds.length === 0) return null;
  return (
    <Section title={phrase('planning.rounds-in-words')}>
      {view.technicians.map((technician) => rounds.filter((round) => round.technicianId === technician.id)).filter((own) => own.length > 0).map((own) => {
        const technician = view.technicians.find((one) => one.id === own[0]!.technicianId)!;
        const stops = own.reduce((sum, round) => sum + round.stops.length, 0);
        return (
          <details key={technician.id} className="leaf">
            <summary>{phrase('planning.name-stops-on-own', { name: technician.name, stops: phrase('count.stop', { n: stops }), own: phrase('count.day', { n: own.length }) })}</summary>
            {own.map((round) => (
              <Table key={round.day} caption={phrase('planning.name-day-leaves-startmin-back-endmin-travelmin', { name: technician.name, day: dayWords(round.day), startMin: clockWords(round.startMin), endMin: clockWords(round.endMin), travelMin: minutesWords(round.travelMin), value: round.overtimeMin > 0 ? phrase('planning.overtimemin-overtime', { overtimeMin: minutesWords(round.overtimeMin) }) : '' })} rows={[...round.stops]} rowKey={(stop) => `${stop.visitId} ${stop.joins ?? ''}`} columns={[
                { key: 'site', title: dayWords(round.day), cell: (stop) => <Button kind="bare" size="small" onClick={() => onChoose(stop.visitId)}>{visits.get(stop.visitId)?.siteName ?? phrase('planning.visit')}</Button> },
                { key: 'time', title: phrase('planning.start-to-end'), cell: (stop) => phrase('planning.startmin-to-endmin', { startMin: clockWords(stop.startMin), endMin: clockWords(stop.endMin) }) },
                { key: 'travel', title: phrase('planning.travel-2'), align: 'end', cell: (stop) => minutesWords(stop.travelMin) },
                { key: 'why', title: phrase('planning.why-now'), cell: (stop) => { const visit = visits.get(stop.visitId); return visit?.overdue ? <Mark shape="bracketed" tone="bad">{phrase('planning.overdue')}</Mark> : visit?.lapsesOn ? phrase('planning.lapses-lapseson', { lapsesOn: dayWords(visit.lapsesOn) }) : visit?.title ?? ''; } },
              ]} />
            ))}
          </details>
        );
      })}
    </Section>
  );
}
