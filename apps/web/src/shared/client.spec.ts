import { z } from 'zod';
import { route } from '@bellround/contracts';
import { describe, expect, it } from 'vitest';
import { fileNameOf, isProblem, problemFrom, problemNameOf, requestOf } from './client.js';

const base = { summary: '', may: 'read' as const, output: z.object({}) };
const list = route({ ...base, name: 'list', method: 'GET', path: '/api/sites/:siteId/checks', input: z.strictObject({ siteId: z.string(), search: z.string().optional(), limit: z.number().optional(), kinds: z.array(z.string()).optional() }) });
const save = route({ ...base, name: 'save', method: 'POST', path: '/api/visits/:visitId/close', input: z.strictObject({ visitId: z.string(), reason: z.string().nullable() }) });
const load = route({ ...base, name: 'load', method: 'POST', path: '/api/import/:kind', carries: 'upload', input: z.strictObject({ kind: z.string(), dryRun: z.boolean() }) });

describe('requestOf', () => {
  it('puts path parameters in the path, escaped, and the rest of a GET in the query', () => {
    expect(requestOf(list, { siteId: 'a/b', search: 'Ostrel & co', limit: 20, kinds: ['x', 'y'] })).toEqual({ method: 'GET', url: '/api/sites/a%2Fb/checks?search=Ostrel+%26+co&limit=20&kinds=x&kinds=y', body: null });
  });

  it('leaves out what is not said', () => {
    expect(requestOf(list, { siteId: '1', search: '' }).url).toBe('/api/sites/1/checks');
  });

  it('puts the rest of a POST in the body, null and all', () => {
    expect(requestOf(save, { visitId: '1', reason: null })).toEqual({ method: 'POST', url: '/api/visits/1/close', body: '{"reason":null}' });
  });

  it('leaves the body of an upload to the file', () => {
    expect(requestOf(load, { kind: 'sites', dryRun: true })).toEqual({ method: 'POST', url: '/api/import/sites?dryRun=true', body: null });
  });

  it('refuses an address without its parameter', () => {
    expect(() => requestOf(save, { visitId: '', reason: null })).toThrow('save needs visitId');
  });
});

describe('problems', () => {
  it('reads a problem document with its name, fields and data', () => {
    const problem = problemFrom(409, JSON.stringify({ type: 'urn:bellround:problem:choose-company', title: 'T', status: 409, detail: 'D', errors: [{ path: 'a.0.b', message: 'm' }], data: { n: 1 } }));
    expect(problem).toMatchObject({ problem: 'ChooseCompany', status: 409, title: 'T', detail: 'D', errors: [{ path: 'a.0.b', message: 'm' }], data: { n: 1 } });
    expect(isProblem(problem, 'ChooseCompany')).toBe(true);
    expect(isProblem(problem, 'NotFound')).toBe(false);
    expect(problemNameOf('urn:bellround:problem:still-out')).toBe('StillOut');
  });

  it('a page of a proxy is told as the server being away, not as its markup', () => {
    const problem = problemFrom(502, '<html>Bad Gateway</html>');
    expect(problem.problem).toBe('Unavailable');
    expect(problem.detail).not.toContain('html');
  });

  it('takes the name of a file from its header', () => {
    expect(fileNameOf('attachment; filename="standing-2027-03-01.csv"')).toBe('standing-2027-03-01.csv');
    expect(fileNameOf(null)).toBeNull();
  });
});
