// The drawing hand: rings under it, in mm, and lengths as they are typed. As takeoff/web/rings.py and entries.py say it.
const PARALLEL = 1e-6;
const tidy = (v) => Math.round(v * 100) / 100 + 0;

function along(ring, k) {
  const n = ring.length, a = ring[(k + n) % n], b = ring[(k + 1 + n) % n];
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  return [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
}

export function area(ring) {
  return ring.reduce((sum, [x, y], i) => {
    const [p, q] = ring[(i + 1) % ring.length];
    return sum + (x * q - p * y) / 2;
  }, 0);
}

export function outward(ring, k) {
  const [x, y] = along(ring, k), turn = area(ring) >= 0 ? 1 : -1;
  return [y * turn, -x * turn];
}

function met(at, way, corner, other, shift) {
  const sine = way[0] * other[1] - way[1] * other[0];
  if (Math.abs(sine) < PARALLEL) {
    const off = shift[1] * way[0] - shift[0] * way[1];
    return [tidy(corner[0] - way[1] * off), tidy(corner[1] + way[0] * off)];
  }
  const t = ((at[0] - corner[0]) * way[1] - (at[1] - corner[1]) * way[0]) / -sine;
  return [tidy(corner[0] + other[0] * t), tidy(corner[1] + other[1] * t)];
}

function slid(ring, k, shift) {
  const n = ring.length, end = (k + 1) % n, way = along(ring, k);
  const at = [ring[k][0] + shift[0], ring[k][1] + shift[1]];
  const moved = ring.slice();
  moved[k] = met(at, way, ring[k], along(ring, k - 1), shift);
  moved[end] = met(at, way, ring[end], along(ring, end), shift);
  return moved;
}

function straightOn(ring, k) {
  const one = along(ring, k - 1), two = along(ring, k);
  return Math.abs(one[0] * two[1] - one[1] * two[0]) < PARALLEL;
}

export function cornerMoved(ring, k, to, free) {
  if (free || straightOn(ring, k)) return ring.map((p, i) => (i === k ? [tidy(to[0]), tidy(to[1])] : p));
  const first = slid(ring, (k - 1 + ring.length) % ring.length, [to[0] - ring[k][0], to[1] - ring[k][1]]);
  return slid(first, k, [to[0] - first[k][0], to[1] - first[k][1]]);
}

export function drawnOut(ring, k, shift) {
  const n = ring.length, end = (k + 1) % n, out = outward(ring, k);
  const by = shift[0] * out[0] + shift[1] * out[1];
  const moved = slid(ring, k, [out[0] * by, out[1] * by]);
  const before = straightOn(ring, k), after = straightOn(ring, end), points = [];
  for (let i = 0; i < n; i++) {
    if (i === k && before) points.push(ring[k]);
    points.push(i === end && after ? ring[i] : moved[i]);
    if (i === k && after) points.push(moved[end]);
  }
  return points;
}

// mm of what was typed: 6200 is mm, 6.2 and 6,2 metres, units as they say; NaN for no length
export function lengthMm(text) {
  const clean = text.trim().toLowerCase().replace(/(\d) (?=\d{3}(?!\d))/g, "$1");
  const found = /^(\d+(?:[.,]\d*)?|[.,]\d+)\s*(mm|m)?$/.exec(clean);
  if (!found) return NaN;
  const value = Number(found[1].replace(",", "."));
  const metres = found[2] ? found[2] === "m" : /[.,]/.test(found[1]) && value < 100;
  return tidy(metres ? value * 1000 : value);
}

export const snapped = (v, step) => Math.round(v / step) * step;

// the place that a pointer means after a corner: square to the plan or to the side before, unless freed
export function squared(from, before, to) {
  const ways = [[1, 0], [0, 1]];
  if (before) {
    const d = [from[0] - before[0], from[1] - before[1]], length = Math.hypot(d[0], d[1]) || 1;
    ways.push([d[0] / length, d[1] / length], [-d[1] / length, d[0] / length]);
  }
  const far = ways.map((w) => (to[0] - from[0]) * w[0] + (to[1] - from[1]) * w[1]);
  const best = far.reduce((b, f, i) => (Math.abs(f) > Math.abs(far[b]) + 1e-6 ? i : b), 0);
  return [from[0] + ways[best][0] * far[best], from[1] + ways[best][1] * far[best]];
}
