import type { WeekView } from '@bellround/contracts';
import { clockWords, countWords, dayWords, minutesWords } from '../../../shared/format.js';
import { Button, Mark, Section, Table } from '../../../shared/ui/index.js';

/** The loom in words: each round as a table. */
export function RoundTables({ view, onChoose }: { view: WeekView; onChoose: (visitId: string) => void }) {
  const visits = new Map(view.visits.map((visit) => [visit.id, visit]));
  const rounds = view.rounds.toSorted((a, b) => a.day.localeCompare(b.day));
  if (rounds.length === 0) return null;
  return (
    <Section title="Rounds in words">
      {view.technicians.map((technician) => rounds.filter((round) => round.technicianId === technician.id)).filter((own) => own.length > 0).map((own) => {
        const technician = view.technicians.find((one) => one.id === own[0]!.technicianId)!;
        const stops = own.reduce((sum, round) => sum + round.stops.length, 0);
        return (
          <details key={technician.id} className="leaf">
            <summary>{technician.name}: {countWords(stops, 'stop')} on {countWords(own.length, 'day')}</summary>
            {own.map((round) => (
              <Table key={round.day} caption={`${technician.name}, ${dayWords(round.day)}: leaves ${clockWords(round.startMin)}, back ${clockWords(round.endMin)}, ${minutesWords(round.travelMin)} of travel${round.overtimeMin > 0 ? `, ${minutesWords(round.overtimeMin)} overtime` : ''}`} rows={[...round.stops]} rowKey={(stop) => `${stop.visitId} ${stop.joins ?? ''}`} columns={[
                { key: 'site', title: dayWords(round.day), cell: (stop) => <Button kind="bare" size="small" onClick={() => onChoose(stop.visitId)}>{visits.get(stop.visitId)?.siteName ?? 'visit'}</Button> },
                { key: 'time', title: 'Start to end', cell: (stop) => `${clockWords(stop.startMin)} to ${clockWords(stop.endMin)}` },
                { key: 'travel', title: 'Travel', align: 'end', cell: (stop) => minutesWords(stop.travelMin) },
                { key: 'why', title: 'Why now', cell: (stop) => { const visit = visits.get(stop.visitId); return visit?.overdue ? <Mark shape="bracketed" tone="bad">overdue</Mark> : visit?.lapsesOn ? `lapses ${dayWords(visit.lapsesOn)}` : visit?.title ?? ''; } },
              ]} />
            ))}
          </details>
        );
      })}
    </Section>
  );
}
