import { stripGeometry, type DrawnBasin, type DrawnLane, type LaneGeometry, type StripGeometry } from '@bellround/contracts';
import { day, INK, keepTogether, MARGIN, QUIET, RULE, widthOf, type Paper } from './paper.js';

const TITLE = 150;
const LANE = 22;
const GROUND = 16;
const RIM = 7;

/** The proof strip on paper, told by shape alone: basins, pegs, tails, brackets, hatching, lids, and where one visit fits all. */
export function drawStrip(paper: Paper, lanes: readonly DrawnLane[], from: string, to: string, today: string): void {
  const geometry = stripGeometry({ lanes, from, to, today });
  keepTogether(paper, 16 + LANE * Math.min(3, lanes.length));
  axis(paper, geometry);
  lanes.forEach((lane, i) => {
    keepTogether(paper, LANE + 2);
    const top = paper.y;
    paper.font('face').fontSize(7).fillColor(INK).text(lane.title, MARGIN, top + 2, { width: TITLE - 8, height: LANE - 3, ellipsis: true });
    over(paper, geometry, top);
    drawLane(paper, geometry, geometry.lanes[i]!, top);
    paper.x = MARGIN;
    paper.y = top + LANE;
  });
  if (geometry.column) {
    const { lanes: fits, of, from: first, to: last } = geometry.column;
    paper.font('face').fontSize(7.5).fillColor(QUIET).text(`Light column: one visit fits ${fits === of ? `all ${of}` : `${fits} of ${of}`}, ${day(first)} to ${day(last)}.`, MARGIN + TITLE, paper.y + 2, { width: widthOf(paper) - TITLE });
  }
  paper.font('face').fontSize(9).fillColor(INK);
  paper.x = MARGIN;
  paper.y += 4;
}

const scale = (paper: Paper, geometry: StripGeometry) => (day: number): number => MARGIN + TITLE + (day / geometry.days) * (widthOf(paper) - TITLE);

function axis(paper: Paper, geometry: StripGeometry): void {
  const x = scale(paper, geometry);
  const top = paper.y;
  for (const tick of geometry.ticks) {
    paper.font(tick.isYear ? 'bold' : 'face').fontSize(6.5).fillColor(QUIET).text(tick.label, x(tick.x) + 2, top, { lineBreak: false });
    paper.moveTo(x(tick.x), top).lineTo(x(tick.x), top + 9).lineWidth(0.4).strokeColor(RULE).stroke();
  }
  paper.x = MARGIN;
  paper.y = top + 11;
}

/** What crosses all lanes: the light column and today's hairline. */
function over(paper: Paper, geometry: StripGeometry, top: number): void {
  const x = scale(paper, geometry);
  const { column, today } = geometry;
  if (column) paper.rect(x(column.x1), top, x(column.x2) - x(column.x1), LANE).lineWidth(0.5).dash(1.5, { space: 1.5 }).fillAndStroke('#eeeeee', RULE).undash();
  if (today !== null) paper.moveTo(x(today), top).lineTo(x(today), top + LANE).lineWidth(0.5).strokeColor(INK).stroke();
}

function drawLane(paper: Paper, geometry: StripGeometry, lane: LaneGeometry, top: number): void {
  const x = scale(paper, geometry);
  const ground = top + GROUND;
  const along = (x1: number, x2: number, y: number, width: number, dash: number | null = null): void => {
    paper.lineWidth(width).strokeColor(INK);
    if (dash === null) paper.undash(); else paper.dash(dash, { space: dash });
    paper.moveTo(x(x1), y).lineTo(x(x2), y).stroke().undash();
  };
  along(0, geometry.days, ground, 0.3);
  for (const one of lane.broken) { paper.rect(x(one.x1), ground - 0.6, x(one.x2) - x(one.x1), 1.2).fill('#ffffff'); along(one.x1, one.x2, ground, 0.9, 2); }
  for (const one of lane.hatched) hatch(paper, x(one.x1), top + RIM - 3, x(one.x2) - x(one.x1), GROUND - RIM + 3);
  for (const basin of lane.basins) drawBasin(paper, basin, x, top);
  for (const one of lane.growing) along(one.x1, one.x2, ground - 3, 1.2, 2);
  for (const peg of lane.pegs) {
    if (peg.tailFrom !== null) along(peg.tailFrom, peg.x, ground - 3, 1.2);
    paper.moveTo(x(peg.x), top + RIM - 5).lineTo(x(peg.x), ground).lineWidth(2.2).strokeColor(INK).stroke();
  }
  for (const lid of lane.lids) {
    along(lid.x1, lid.x2, top + RIM - 3, 2);
    paper.fontSize(5.5).fillColor(INK).text(lid.by, x(lid.x1), top - 2.5, { lineBreak: false });
  }
  paper.moveTo(MARGIN, top + LANE - 1).lineTo(MARGIN + widthOf(paper), top + LANE - 1).lineWidth(0.2).dash(0.8, { space: 1.6 }).strokeColor(RULE).stroke().undash();
}

function drawBasin(paper: Paper, basin: DrawnBasin, x: (day: number) => number, top: number): void {
  const [rim, ground] = [top + RIM, top + GROUND];
  const [left, right] = [Math.max(x(basin.x1), MARGIN + TITLE), Math.min(x(basin.x2), MARGIN + widthOf(paper))];
  paper.lineWidth(basin.kind === 'open' ? 1.4 : basin.kind === 'ahead' ? 0.4 : 0.8).strokeColor(INK);
  if (basin.kind === 'unjudged') paper.dash(1.5, { space: 1.5 });
  paper.moveTo(left, rim).lineTo(left, ground).lineTo(right, ground).lineTo(right, rim).stroke().undash();
  if (basin.kind === 'missed' || basin.kind === 'overdue') {
    paper.lineWidth(1.2).moveTo(left + 2, top + 1).lineTo(left, top + 1).lineTo(left, ground + 3).lineTo(left + 2, ground + 3).stroke();
    if (basin.kind === 'missed') paper.moveTo(right - 2, top + 1).lineTo(right, top + 1).lineTo(right, ground + 3).lineTo(right - 2, ground + 3).stroke();
  }
}

function hatch(paper: Paper, left: number, top: number, width: number, height: number): void {
  paper.save().rect(left, top, width, height).clip().lineWidth(0.4).strokeColor(QUIET);
  for (let at = left - height; at < left + width; at += 3.2) paper.moveTo(at, top + height).lineTo(at + height, top);
  paper.stroke().restore();
}
