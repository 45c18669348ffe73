export { AuditScreen as default } from '../../features/auditing/ui/audit-screen.js';
