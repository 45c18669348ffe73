export { MessagesScreen as default } from '../../features/reminders/ui/messages-screen.js';
