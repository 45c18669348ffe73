import { WatchDeficienciesProcessor } from './deficiencies/watch-deficiencies.processor.js';
import { FitRiskProcessor } from './exposure/fit-risk.processor.js';
import { PlanWeekProcessor } from './planning/plan-week.processor.js';
import { NightlySweepProcessor, WatchHoldsProcessor, WeeklyOverdueProcessor } from './reminders/reminders.processors.js';
import { SendMessagesProcessor } from './reminders/send-messages.processor.js';
import { SettleDelayedProcessor } from './signals/settle-delayed.processor.js';
import { ReadHistoriesProcessor } from './standing/read-histories.processor.js';
import { FleetRefreshProcessor, StandingRefreshProcessor } from './standing/refresh.processors.js';

/** Every queue's processor. The worker refuses to start when a declared job is missing here, or stands here twice. */
export const processors = [
  StandingRefreshProcessor, FleetRefreshProcessor, NightlySweepProcessor, WeeklyOverdueProcessor, WatchHoldsProcessor, SendMessagesProcessor, PlanWeekProcessor, FitRiskProcessor, SettleDelayedProcessor, WatchDeficienciesProcessor, ReadHistoriesProcessor,
];
