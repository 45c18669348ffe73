export { SettingsScreen as default } from '../../features/identity/ui/settings-screen.js';
