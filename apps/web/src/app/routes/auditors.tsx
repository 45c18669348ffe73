export { AuditorsScreen as default } from '../../features/auditing/ui/auditors-screen.js';
