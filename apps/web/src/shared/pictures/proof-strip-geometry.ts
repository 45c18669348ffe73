// The geometry is shared with the printed report, so that screen and paper never differ.
export { basinKindOf as kindOf, stripGeometry } from '@bellround/contracts';
export type { BasinKind, DrawnBasin as Basin, DrawnLane as StripLane, DrawnPause as StripPause, DrawnPeg as Peg, DrawnStretch as Stretch, DrawnStrip as StripProps, DrawnWindow as StripWindow, FitColumn, LaneGeometry, StripGeometry } from '@bellround/contracts';
