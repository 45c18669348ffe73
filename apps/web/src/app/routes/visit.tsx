import { useParams } from 'react-router';
import { VisitCodes } from '../../features/identity/ui/visit-codes.js';
import { VisitScreen } from '../../features/visits/ui/visit-screen.js';
import { Region } from '../../shared/ui/index.js';

export default function Visit() {
  const { visitId = '' } = useParams();
  return <VisitScreen access={<Region name="entry codes"><VisitCodes visitId={visitId} /></Region>} />;
}
