import { Module } from '@nestjs/common';
import { IdentityController } from './identity/identity.controller.js';

@Module({ controllers: [IdentityController] })
class IdentityModule {}

/** One module per capability; none imports another. */
export const capabilityModules = [IdentityModule];
