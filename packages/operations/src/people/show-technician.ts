import type { TechnicianRow } from '@bellround/contracts';
import type { Act } from '../perform.js';
import { technicianById, technicianRow } from './steps.js';

/** One technician. Throws NotFound. */
export const showTechnician: Act<{ technicianId: string }, TechnicianRow> = async (ctx, input) => technicianRow(ctx, await technicianById(ctx, input.technicianId));
