export { AuditSiteScreen as default } from '../../features/auditing/ui/audit-site-screen.js';
