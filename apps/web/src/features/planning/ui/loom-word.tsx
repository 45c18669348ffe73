/** A name on a knot, whole in the page and cut by the knot's edge for the eye: who speaks to the screen may say all of it. */
export function LoomWord({ x, y, width, height, children }: { x: number; y: number; width: number; height: number; children: string }) {
  return <svg className="loom-word" aria-hidden="true" x={x} y={y} width={width} height={height}><text y={height / 2 + 4}>{children}</text></svg>;
}
