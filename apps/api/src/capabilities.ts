import { Module } from '@nestjs/common';
import { DeficienciesController } from './deficiencies/deficiencies.controller.js';
import { ExposureController } from './exposure/exposure.controller.js';
import { FleetController } from './fleet/fleet.controller.js';
import { ListsController } from './fleet/lists.controller.js';
import { PeopleController } from './people/people.controller.js';
import { EntryCodesController } from './identity/entry-codes.controller.js';
import { IdentityController } from './identity/identity.controller.js';
import { FeedsController } from './planning/feeds.controller.js';
import { PlanningController } from './planning/planning.controller.js';
import { RoundsNeedController } from './planning/rounds-need.controller.js';
import { ProofController } from './proof/proof.controller.js';
import { DutiesController } from './programmes/duties.controller.js';
import { ProgrammesController } from './programmes/programmes.controller.js';
import { RemindersController } from './reminders/reminders.controller.js';
import { AuditingController } from './reports/auditing.controller.js';
import { ReportsController } from './reports/reports.controller.js';
import { ReceiversController } from './signals/receivers.controller.js';
import { SignalsController } from './signals/signals.controller.js';
import { StandingController } from './standing/standing.controller.js';
import { LabelsController } from './visits/labels.controller.js';
import { VisitsController } from './visits/visits.controller.js';

@Module({ controllers: [IdentityController, EntryCodesController] })
class IdentityModule {}

@Module({ controllers: [FeedsController, PlanningController, RoundsNeedController] })
class PlanningModule {}

@Module({ controllers: [ExposureController] })
class ExposureModule {}

@Module({ controllers: [RemindersController] })
class RemindersModule {}

@Module({ controllers: [LabelsController, VisitsController] })
class VisitsModule {}

@Module({ controllers: [ReceiversController, SignalsController] })
class SignalsModule {}

@Module({ controllers: [DeficienciesController] })
class DeficienciesModule {}

@Module({ controllers: [ProofController] })
class ProofModule {}

@Module({ controllers: [FleetController, ListsController] })
class FleetModule {}

@Module({ controllers: [PeopleController] })
class PeopleModule {}

@Module({ controllers: [ProgrammesController, DutiesController] })
class ProgrammesModule {}

@Module({ controllers: [StandingController] })
class StandingModule {}

@Module({ controllers: [ReportsController, AuditingController] })
class ReportsModule {}

/** One module per capability; none imports another. */
export const capabilityModules = [IdentityModule, FleetModule, PeopleModule, PlanningModule, ExposureModule, RemindersModule, VisitsModule, SignalsModule, DeficienciesModule, ProgrammesModule, StandingModule, ReportsModule, ProofModule];
