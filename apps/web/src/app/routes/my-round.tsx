import { MyRoundScreen } from '../../features/visits/ui/my-round-screen.js';
import { DayPackNote } from '../this-device.js';

export default function MyRound() {
  return <><MyRoundScreen /><div className="page slim"><DayPackNote /></div></>;
}
