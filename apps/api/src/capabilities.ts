import { Module } from '@nestjs/common';
import { IdentityController } from './identity/identity.controller.js';
import { FeedsController } from './planning/feeds.controller.js';
import { RemindersController } from './reminders/reminders.controller.js';

@Module({ controllers: [IdentityController] })
class IdentityModule {}

@Module({ controllers: [FeedsController] })
class PlanningModule {}

@Module({ controllers: [RemindersController] })
class RemindersModule {}

/** One module per capability; none imports another. */
export const capabilityModules = [IdentityModule, PlanningModule, RemindersModule];
