export * from './perform.js';
export { openSession } from './identity/open-session.js';
export { whoAmI } from './identity/who-am-i.js';
export { closeSession } from './identity/close-session.js';
export { listUsers } from './identity/list-users.js';
export { addUser } from './identity/add-user.js';
export { disableUser } from './identity/disable-user.js';
export { listActivity } from './identity/list-activity.js';
