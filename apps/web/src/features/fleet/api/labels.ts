import { type LabelKind, type LabelPlace, type VisitView, routes } from '@bellround/contracts';
import { useQuery } from '@tanstack/react-query';
import { ask, isProblem } from '../../../shared/client.js';
import { keptVisits } from '../../../shared/day-pack.js';
import { fleetKeys } from './keys.js';

/** What a label names, of the visits kept on this device: enough to go on without a network. */
export function placeAmong(visits: readonly VisitView[], kind: LabelKind, id: string): LabelPlace | null {
  const there = visits.filter((view) => (kind === 'site' ? view.site.id === id : view.devices.some((device) => device.id === id)));
  const [first] = there;
  if (!first) return null;
  const device = kind === 'device' ? first.devices.find((one) => one.id === id)! : null;
  return {
    kind, siteId: first.site.id, siteName: first.site.name, address: first.site.address,
    device: device ? { id: device.id, label: device.label, kind: device.kind, room: device.room, systemName: first.systems.find((one) => one.id === device.systemId)?.name ?? '', zone: device.zone, removed: false } : null,
    visits: there.map((view) => view.visit),
  };
}

/** Asks the house what a label names; without an answer looks among the visits of the day pack. */
export function useLabelPlace(kind: LabelKind, id: string) {
  return useQuery<LabelPlace>({
    queryKey: fleetKeys.of(routes.labelPlace, { kind, labelId: id }), meta: { about: ['visit', 'site'] }, staleTime: 0,
    queryFn: async ({ signal }) => {
      try {
        return await ask(routes.labelPlace, { kind, labelId: id }, signal);
      } catch (error) {
        const kept = isProblem(error, 'Unreachable', 'Unavailable') ? placeAmong(await keptVisits(), kind, id) : null;
        if (kept) return kept;
        throw error;
      }
    },
  });
}
