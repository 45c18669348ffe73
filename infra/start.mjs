// `npm start`: from a fresh checkout to a running house.
import { build, install, requireNode, say } from './toolchain.mjs';

requireNode();
say('installing what the lock file names');
await install();
say('building what changed');
await build();
const { launch } = await import('./launch.mjs');
await launch();
