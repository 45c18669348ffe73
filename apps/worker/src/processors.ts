import { NightlySweepProcessor, WatchHoldsProcessor, WeeklyOverdueProcessor } from './reminders/reminders.processors.js';
import { SendMessagesProcessor } from './reminders/send-messages.processor.js';

/** Every queue's processor. The worker refuses to start when a declared job is missing here, or stands here twice. */
export const processors = [NightlySweepProcessor, WeeklyOverdueProcessor, WatchHoldsProcessor, SendMessagesProcessor];
