import { rm } from 'node:fs/promises';
import { deficienciesRoutes, reportsRoutes, visitsRoutes } from '@bellround/contracts';
import { aCompany, aDevice, anId, aPath, aSite, aSystem, aTechnician } from '@bellround/database/testing';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openTestApi, type TestApi } from '../testing/open-test-api.js';

let api: TestApi;
beforeAll(async () => { api = await openTestApi(); });
afterAll(() => api.close());

/** A JPEG of 8 x 8 grey pixels whose Exif block says where it was taken. */
const JPEG = Buffer.from('/9j/4AAQSkZJRgABAQEASABIAAD/2wBDAP//////////////////////////////////////////////////////////////////////////////////////wAALCAAIAAgBAREA/8QAFAABAAAAAAAAAAAAAAAAAAAAA//EABQQAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQEAAD8AP//Z', 'base64');
const placed = Buffer.concat([JPEG.subarray(0, 2), Buffer.from([0xff, 0xe1, 0, 20]), Buffer.from('Exif\0\0GPS 40.1 -3.2'.slice(0, 18).padEnd(18, ' ')), JPEG.subarray(2)]);

it('[PIC-1] [PIC-2] [DEF-7] a picture goes to the store without its place, onto the deficiency and into the paper; another company gets none; bytes that are gone are told so', async () => {
  const ids = { companyId: anId(), siteId: anId(), systemId: anId(), sensorId: anId(), technicianId: anId(), visitId: anId() };
  await api.test.database.inCompany({ companyId: ids.companyId, actorId: null }, async (tx) => {
    await aCompany(tx, ids.companyId);
    await aSite(tx, ids.companyId, { id: ids.siteId });
    await aSystem(tx, ids.companyId, { id: ids.systemId, siteId: ids.siteId });
    await aDevice(tx, ids.companyId, { id: ids.sensorId, systemId: ids.systemId, kind: 'motion', link: 'wireless', label: 'Hall motion' });
    await aPath(tx, ids.companyId, { systemId: ids.systemId });
    await aTechnician(tx, ids.companyId, { id: ids.technicianId });
  });
  const other = anId();
  await api.test.database.inCompany({ companyId: other, actorId: null }, (tx) => aCompany(tx, other));
  const [owner, tess, stranger] = [await api.signInAs(ids.companyId, 'owner'), await api.signInAs(ids.companyId, 'technician', ids.technicianId), await api.signInAs(other, 'owner')];
  await api.ask(visitsRoutes.createVisit, owner, { id: ids.visitId, siteId: ids.siteId, kind: 'urgent', pick: 'chosen', day: '2027-03-01', technicianId: ids.technicianId });
  await api.ask(visitsRoutes.openVisit, tess, { visitId: ids.visitId, id: anId() });
  const checkId = anId();
  const failed = await api.ask(visitsRoutes.recordCheck, tess, { visitId: ids.visitId, id: checkId, checkKind: 'wireless-margin', subjectKind: 'device', subjectId: ids.sensorId, readings: { levelDbm: -95, noiseDbm: -100 } });
  const deficiencyId = failed.body.deficiencies[0]!.id;

  const attachmentId = anId();
  const upload = { id: attachmentId, contentBase64: placed.toString('base64') };
  const kept = await api.ask(visitsRoutes.uploadAttachment, tess, upload);
  expect(kept.body).toMatchObject({ mime: 'image/jpeg', bytes: JPEG.length });
  expect((await api.ask(visitsRoutes.uploadAttachment, tess, upload)).body).toEqual(kept.body);
  expect((await api.ask(visitsRoutes.uploadAttachment, tess, { id: anId(), contentBase64: Buffer.from('<svg/>').toString('base64') })).status).toBe(400);
  const row = await api.test.database.inCompany({ companyId: ids.companyId, actorId: null }, (tx) => tx.db.attachment.findFirstOrThrow({ where: { id: attachmentId } }));
  expect(row.content).toBeNull();

  expect((await api.ask(deficienciesRoutes.photoOfCheck, tess, { checkId, id: anId(), attachmentId, words: 'cracked' })).body.deficiencyIds).toContain(deficiencyId);
  expect((await api.ask(deficienciesRoutes.showDeficiency, owner, { deficiencyId })).body.photos).toMatchObject([{ attachmentId, words: 'cracked' }]);
  const shown = await api.app.inject({ method: 'GET', url: `/api/attachments/${attachmentId}`, headers: { cookie: owner } });
  expect(shown.rawPayload.equals(JPEG)).toBe(true);
  expect((await api.ask(visitsRoutes.attachment, stranger, { attachmentId })).status).toBe(404);

  const paper = () => api.app.inject({ method: 'GET', url: `/api/sites/${ids.siteId}/report.pdf?months=24`, headers: { cookie: owner } });
  const images = (pdf: Buffer) => pdf.toString('latin1').match(/\/Subtype \/Image/g)?.length ?? 0;
  expect(images((await paper()).rawPayload)).toBe(1);
  const auditor = await api.ask(reportsRoutes.openAuditorLink, owner, { forWhom: 'Insurer', siteIds: [ids.siteId], lastDay: '2027-04-01' });
  const audited = await api.app.inject({ method: 'GET', url: `/api/audit/${auditor.body.url.split('/').at(-1)!}/sites/${ids.siteId}/report.pdf?months=24` });
  expect([audited.statusCode, images(audited.rawPayload)]).toEqual([200, 0]);

  await rm(api.pictures, { recursive: true });
  const gone = await api.ask(visitsRoutes.attachment, owner, { attachmentId });
  expect([gone.status, gone.body.detail]).toEqual([404, expect.stringContaining('its bytes are not in the folder')]);
  expect(images((await paper()).rawPayload)).toBe(0);
});
