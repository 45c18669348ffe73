import { z } from 'zod';
import { Id, Instant, LocalDay } from './basics.js';
import { route } from './route.js';
import { SiteStanding, Standing, StripLane } from './standing.js';

/** A check as a report shows it: its free notes stay out, since a report leaves the house. */
export const ReportCheck = z.object({
  id: Id, title: z.string(), systemName: z.string(), subject: z.string(), performedOn: LocalDay, by: z.string().nullable(), verdict: z.string(), reason: z.string(), margin: z.string().nullable(), limitSource: z.string().nullable(),
  evidence: z.string(), source: z.string(),
  /** a further check corrects it; both are shown */
  corrected: z.boolean(),
  readings: z.array(z.object({ label: z.string(), value: z.string(), unit: z.string().nullable(), instrument: z.string().nullable(), reliable: z.boolean().nullable() })),
});
export type ReportCheck = z.infer<typeof ReportCheck>;

export const ReportDeficiency = z.object({ id: Id, title: z.string(), subject: z.string(), severity: z.string(), state: z.string(), raisedOn: LocalDay, dueOn: LocalDay, closedOn: LocalDay.nullable(), acceptedUntil: LocalDay.nullable(),
  /** what protects the site meanwhile, while it is open */
  interim: z.object({ words: z.string(), by: z.string(), untilAt: Instant, over: z.boolean() }).nullable(),
  photos: z.array(z.object({ attachmentId: Id, words: z.string(), at: Instant })) });
export type ReportDeficiency = z.infer<typeof ReportDeficiency>;

/** One site as it is shown to somebody outside: strips, readings, deficiencies, and where each duty and limit comes from. No key, code, contact or note. */
export const SiteReport = z.object({
  company: z.string(), madeAt: Instant, site: SiteStanding.omit({ attempts: true }),
  /** checks between these days are listed */
  from: LocalDay, to: LocalDay,
  checks: z.array(ReportCheck), checksTotal: z.int(), deficiencies: z.array(ReportDeficiency),
  /** where each kind of duty comes from, as its programme says */
  sources: z.array(z.object({ regime: z.string(), title: z.string(), clause: z.string(), provenance: z.string() })),
  cautions: z.array(z.string()),
  ledger: z.object({ size: z.int(), rootHash: z.string() }),
});
export type SiteReport = z.infer<typeof SiteReport>;

/** The longest stretch that one report lists checks of. */
export const REPORT_MONTHS_MOST = 120;
const Stretch = { asOf: LocalDay.optional(), months: z.coerce.number().int().min(1).max(REPORT_MONTHS_MOST).default(24) };

// ── an auditor's address ───────────────────────────────────────────────────

export const AUDITOR_SITES_MOST = 500;
export const AUDITOR_DAYS_MOST = 400;
export const AuditorLinkRow = z.object({
  id: Id, forWhom: z.string(), createdAt: Instant, createdBy: z.string(), expiresAt: Instant, revokedAt: Instant.nullable(), state: z.enum(['open', 'expired', 'revoked']),
  sites: z.array(z.object({ siteId: Id, name: z.string() })),
});
export type AuditorLinkRow = z.infer<typeof AuditorLinkRow>;
export const OpenAuditorLink = z.strictObject({
  forWhom: z.string().trim().min(2, { error: 'must name the person or office it is for' }).max(120),
  siteIds: z.array(Id).min(1, { error: 'must name at least one site' }).max(AUDITOR_SITES_MOST),
  /** its last day, by the company's own calendar */
  lastDay: LocalDay,
});
export type OpenAuditorLink = z.infer<typeof OpenAuditorLink>;

export const AuditedSite = z.object({ siteId: Id, name: z.string(), address: z.string(), clientName: z.string(), standing: Standing, duties: z.int(), lapsed: z.int(), cantTell: z.int(), late: z.int(), open: z.int(), proven: z.int(), nextLapses: LocalDay.nullable(), openDeficiencies: z.int(), lanes: z.array(StripLane) });
export type AuditedSite = z.infer<typeof AuditedSite>;
export const AuditedSites = z.object({ company: z.string(), forWhom: z.string(), expiresAt: Instant, timeZone: z.string(), asOf: LocalDay, stripFrom: LocalDay, stripTo: LocalDay, rows: z.array(AuditedSite) });
export type AuditedSites = z.infer<typeof AuditedSites>;

const Secret = z.string().min(20).max(100);

/** The secret is part of the address and shown once; one that is over, revoked or never was answers alike, and so does any site it does not name. */
export const reportsRoutes = {
  siteReport: route({ name: 'siteReport', method: 'GET', path: '/api/sites/:siteId/report.pdf', summary: 'A site\'s proof as a paper: strips, readings, deficiencies, sources of limits', may: 'read', carries: 'pdf', input: z.strictObject({ siteId: Id, ...Stretch }), output: z.string(), problems: ['NotFound'] }),
  listAuditorLinks: route({ name: 'listAuditorLinks', method: 'GET', path: '/api/auditor-links', summary: 'Read-only addresses handed to auditors', may: 'own', input: z.strictObject({}), output: z.object({ rows: z.array(AuditorLinkRow) }) }),
  openAuditorLink: route({ name: 'openAuditorLink', method: 'POST', path: '/api/auditor-links', summary: 'Make a read-only address for named sites until a day; shown once', may: 'own', input: OpenAuditorLink, output: z.object({ link: AuditorLinkRow, url: z.string() }), problems: ['NotFound', 'BadInput'] }),
  revokeAuditorLink: route({ name: 'revokeAuditorLink', method: 'POST', path: '/api/auditor-links/:linkId/revoke', summary: 'Make an auditor\'s address useless at once', may: 'own', input: z.strictObject({ linkId: Id }), output: AuditorLinkRow, problems: ['NotFound'] }),
  auditedSites: route({ name: 'auditedSites', method: 'GET', path: '/api/audit/:secret', summary: 'The sites that an auditor\'s address opens, with their standing', may: null, input: z.strictObject({ secret: Secret, asOf: LocalDay.optional() }), output: AuditedSites, problems: ['NotFound'] }),
  auditedSite: route({ name: 'auditedSite', method: 'GET', path: '/api/audit/:secret/sites/:siteId', summary: 'One site of an auditor\'s address: strips, readings, deficiencies, sources', may: null, input: z.strictObject({ secret: Secret, siteId: Id, ...Stretch }), output: SiteReport, problems: ['NotFound'] }),
  auditedReport: route({ name: 'auditedReport', method: 'GET', path: '/api/audit/:secret/sites/:siteId/report.pdf', summary: 'The same as a paper', may: null, carries: 'pdf', input: z.strictObject({ secret: Secret, siteId: Id, ...Stretch }), output: z.string(), problems: ['NotFound'] }),
};
