/** Cautions shown before a step, in our own words (general practice; provenance in the trade facts, section 10). */
export const cautions = {
  hold: 'Place the account on test with the supervising station first: operator, reference, end time. Without it this is a real alarm.',
  told: 'Tell owner and occupants, and the fire service where the area asks for it, before and after.',
  prevail: 'Local codes, the adopted edition, the listing and licensed practice prevail.',
  hearing: 'Wear hearing protection, sound briefly, never more than 110 dB(A) where people are; count down aloud before sounding.',
  outputs: 'Isolate releases, lifts, air handling and door outputs first; restore and record each of them.',
  mains: 'Isolate and prove dead before mains work; the second supply (battery) stays live.',
  leadAcid: 'Eye protection; no metal across the terminals; charging gives hydrogen; flush acid for at least 15 minutes.',
  lithium: 'Never charge primary cells; no short circuit; right size and make-up; tape the terminals of removed cells.',
  height: 'Ladder: three points of contact, a second person where required, no work above an unprotected edge.',
  aerosol: 'Use a listed aerosol, never a flame.',
  gas: 'Use the gas the maker allows, in a ventilated room, only as much as the device needs.',
  privacy: 'The picture shows a private place: agree with the occupant first and keep nobody in it.',
  insulation: 'No insulation tester with devices connected.',
  doors: 'Stand clear of doors, shutters and lifts; check that nobody passes while they are released.',
  water: 'Agree the flow of water with the building first; check where it drains and that no pump floods anything.',
  impaired: 'A fire system out of service may have to be reported to the authority after a set time; start its clock.',
} as const;
