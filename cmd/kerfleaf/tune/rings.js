// Rings of cut areas as points, for finding what lies under the hand.

// ringsOf reads the program's paths: M x y L x y … Z, absolute, with a space before a new area.
export function ringsOf(path) {
  let of = 0;
  return path.split('Z').filter(Boolean).map((d) => {
    if (d[0] === ' ') of++;
    const points = d.trim().slice(1).split('L').map((p) => p.split(' ').map(Number));
    let area = 0;
    points.forEach(([x, y], i) => { const [u, v] = points[(i + 1) % points.length]; area += x * v - u * y; });
    return { points, of, area: Math.abs(area) / 2 };
  });
}

// nearest returns the point of the rings' edges that is nearest to p, and its ring.
export function nearest(rings, [x, y]) {
  let best = { far: Infinity };
  for (const ring of rings) {
    const { points } = ring;
    for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
      const [ax, ay] = points[j], bx = points[i][0] - ax, by = points[i][1] - ay;
      const t = Math.min(Math.max(((x - ax) * bx + (y - ay) * by) / (bx * bx + by * by || 1), 0), 1);
      const px = ax + t * bx, py = ay + t * by, far = (px - x) ** 2 + (py - y) ** 2;
      if (far < best.far) best = { far, at: [px, py], ring };
    }
  }
  return best;
}

// holding returns the outline of the island that p is on; null where p is on the sheet's own paper or in a cut area.
export function holding(rings, p) {
  const round = rings.filter((r) => inside(r.points, p));
  if (!round.length || round.length % 2) return null;
  return round.reduce((a, b) => (b.area < a.area ? b : a));
}

function inside(points, [x, y]) {
  let is = false;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [ax, ay] = points[i], [bx, by] = points[j];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) is = !is;
  }
  return is;
}
