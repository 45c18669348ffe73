import type { SilentAccount, Silences } from '@bellround/contracts';
import { pathGaps, pathsHeard, type PathHeard } from '@bellround/database';
import { accountSilence, findGaps, stationIncidents, type PathSilence } from '@bellround/signals';
import { companyRules } from '../installed.js';
import type { Act } from '../perform.js';
import { grouped } from '../steps.js';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const MINUTE_MS = 60_000;
const MOST_CLOSED = 200;

interface Told { readonly path: PathHeard; readonly silence: PathSilence }

/**
 * SIG-OP-7. Every live path that promised a periodic signal, over the last days: silent ones by account, those of which nothing can be
 * told apart, and what many accounts of a receiver share as one incident of the station. No silence is told after the end of the
 * station's history. It needs no visit, changes nothing, and dispatches nobody.
 */
export const listSilences: Act<{ days: number }, Silences> = async (ctx, { days }) => {
  const [sinceAt, asOf] = [new Date(ctx.now.getTime() - days * DAY_MS).toISOString(), ctx.now.toISOString()];
  const { settings } = await ctx.tx.db.company.findUniqueOrThrow({ where: { id: ctx.who.companyId }, select: { settings: true } });
  const graceH = companyRules(settings).signalGraceH;
  const paths = await pathsHeard(ctx.tx, sinceAt, asOf);
  const gaps = await pathGaps(ctx.tx, sinceAt, asOf, graceH);
  const told = paths.map((path): Told => ({ path, silence: findGaps(path.lastAt === null ? [] : [path.lastAt], { intervalH: path.intervalMin / 60, graceH, ...(path.heardUntil === null ? {} : { heardUntil: path.heardUntil }) }, asOf) }));
  const of = new Map(paths.map((path) => [path.pathId, path]));
  const perReceiver: Record<string, number> = {};
  for (const [receiver, own] of grouped(paths, (path) => path.receiver)) perReceiver[receiver] = new Set(own.map((path) => path.accountId)).size;
  const found = stationIncidents(gaps.map((gap) => ({ account: of.get(gap.pathId)!.accountId, receiver: of.get(gap.pathId)!.receiver, from: gap.fromAt, to: gap.toAt })), perReceiver);
  const ofAccount = new Map(paths.map((path) => [path.accountId, path]));
  // After an incident an account is heard again at its own next signal: until that is overdue the silence is still the station's.
  const explained = (path: PathHeard, from: string, to: string) => found.incidents.some((incident) => incident.receivers.includes(path.receiver) && incident.accounts.includes(path.accountId) && Date.parse(from) < Date.parse(incident.to) && Date.parse(to) - Date.parse(incident.to) <= Math.max(HOUR_MS, path.intervalMin * MINUTE_MS + graceH * HOUR_MS));
  const isOwn = ({ path, silence }: Told) => silence.state === 'silent' && !explained(path, path.lastAt!, path.heardUntil ?? asOf);
  const accounts = [...grouped(told, (one) => one.path.accountId).values()];
  const closed = gaps.filter((gap) => !gap.open && !explained(of.get(gap.pathId)!, gap.fromAt, gap.toAt)).toReversed().slice(0, MOST_CLOSED);
  return {
    asOf, sinceAt,
    feeds: [...grouped(paths, (path) => path.receiver)].map(([receiver, own]) => ({ receiver, paths: own.length, heardUntil: own.map((path) => path.heardUntil).filter((at) => at !== null).toSorted().at(-1) ?? null })),
    incidents: found.incidents.map((incident) => ({ receivers: [...incident.receivers], fromAt: incident.from, toAt: incident.to, ofAccounts: incident.ofAccounts, words: incident.words, accounts: incident.accounts.map((id) => ofAccount.get(id)!).map(({ accountNumber, siteId, siteName }) => ({ accountNumber, siteId, siteName })).toSorted((a, b) => (a.accountNumber < b.accountNumber ? -1 : 1)) })),
    silent: accounts.filter((own) => own.some(isOwn)).map(accountOf), unknown: accounts.filter((own) => !own.some(isOwn) && own.some((one) => one.silence.state === 'unknown')).map(accountOf),
    closed: closed.map((gap) => { const path = of.get(gap.pathId)!; return { pathId: path.pathId, label: path.label, accountNumber: path.accountNumber, siteId: path.siteId, siteName: path.siteName, fromAt: gap.fromAt, toAt: gap.toAt, hours: round((Date.parse(gap.toAt) - Date.parse(gap.fromAt)) / HOUR_MS) }; }),
    counts: { paths: told.length, heard: count(told, 'heard'), silent: count(told, 'silent'), unknown: count(told, 'unknown') },
  };
};

function accountOf(own: readonly Told[]): SilentAccount {
  const { accountId, accountNumber, siteId, siteName } = own[0]!.path;
  return {
    accountId, accountNumber, siteId, siteName, words: accountSilence(own.map(({ path, silence }) => ({ path: path.label, silence }))).words,
    paths: own.map(({ path, silence }) => ({ pathId: path.pathId, label: path.label, technology: path.technology, state: silence.state, lastAt: silence.lastHeardAt, silentH: silence.silentH === null ? null : round(silence.silentH), limitH: silence.limitH, words: silence.words })),
  };
}

const count = (told: readonly Told[], state: PathSilence['state']): number => told.filter((one) => one.silence.state === state).length;
const round = (hours: number): number => Math.round(hours * 10) / 10;
