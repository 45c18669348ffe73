export { PeopleScreen as default } from '../../features/people/ui/people-screen.js';
