// Which way to turn the house so that what is chosen faces the reader: the eye goes out along its normal, a little above.
"use strict";
const ABOVE = 0.12; // over the normal [radians]
const LEAST_OVER = 0.22; // a wall is seen from a little above
const MOST_OVER = 0.95; // a roof's eaves and walls stay in sight
const LEVEL_MM = 2;

function Facing({ turning, middleOf, sees }) {
  const normalOf = (part) => { const frame = HOUSE.frames[part.r]; return [frame[9], frame[10], frame[11]]; };
  const edges = HOUSE.parts.filter((part) => part.k === "edge" && part.a);
  const eaves = edges.filter((part) => Math.abs(part.l[2] - part.l[part.l.length - 1]) < LEVEL_MM && part.a.length === 1);

  // Out of a part: its frame's normal; of an edge the middle of its planes' normals, of a gutter or pipe its eave's;
  // with none of these, away from the middle of the house.
  function outOf(place) {
    const part = HOUSE.parts[place];
    if (part.r !== undefined) return normalOf(part);
    const edge = part.a ? part : eaves.length ? nearest(part) : null;
    const planes = (edge ? edge.a : []).flatMap((name) => HOUSE.names[name] || []).map((at) => HOUSE.parts[at]).filter((each) => each.r !== undefined);
    const upright = part.a ? 1 : 0; // a gutter or a pipe is seen from the side, under its eave
    if (planes.length) return planes.map(normalOf).reduce((sum, each) => sum.map((value, k) => value + each[k] * (k < 2 ? 1 : upright)), [0, 0, 0]);
    return middleOf(place).map((value, k) => (k < 2 ? value - turning.centre[k] : 0));
  }
  function nearest(part) {
    const count = part.k === "downpipe" ? 1 : part.l.length / 3;
    const at = [0, 1, 2].map((k) => { let sum = 0; for (let i = 0; i < count; i += 1) sum += part.l[3 * i + k] / count; return sum; });
    const off = ({ l }) => {
      const [a, b] = [l.slice(0, 3), l.slice(-3)];
      const along = b.map((value, k) => value - a[k]);
      const t = along.reduce((sum, value, k) => sum + value * (at[k] - a[k]), 0) / (along.reduce((sum, value) => sum + value * value, 0) || 1);
      return Math.hypot(...at.map((value, k) => value - a[k] - Math.max(0, Math.min(1, t)) * along[k]));
    };
    return eaves.reduce((best, each) => (off(each) < off(best) ? each : best));
  }
  const unit = (way) => { const long = Math.hypot(...way) || 1; return way.map((value) => value / long); };
  const isFlat = (way) => Math.hypot(way[0], way[1]) < 0.02; // faces the sky: any bearing serves
  const bearing = (way) => Math.atan2(way[1], way[0]);
  const turned = (around) => Math.abs(Math.atan2(Math.sin(around - turning.around), Math.cos(around - turning.around)));

  // The bearing from which most of the parts face the eye; of like ones the one that turns the house least.
  function bearingOf(ways) {
    const found = new Map();
    for (const way of ways) if (!isFlat(way)) found.set(bearing(way).toFixed(2), bearing(way));
    let best = null;
    for (const around of found.values()) {
      const most = ways.filter((way) => way[0] * Math.cos(around) + way[1] * Math.sin(around) > 0.2 * Math.hypot(way[0], way[1])).length;
      if (!best || most > best.most || (most === best.most && turned(around) < turned(best.around))) best = { most, around };
    }
    return best ? best.around : turning.around;
  }

  function look(places) {
    const ways = places.map(outOf).map(unit);
    const around = bearingOf(ways);
    const sum = unit(ways.reduce((all, way) => all.map((value, k) => value + way[k]), [0, 0, 0]));
    const over = Math.min(MOST_OVER, Math.max(LEAST_OVER, Math.asin(Math.max(-1, Math.min(1, sum[2]))) + ABOVE));
    if (places.length > 1) return [around, over];
    // another part of the house may stand before it: then a look past that, if there is one
    const at = middleOf(places[0]).map((value, k) => value + 0.05 * ways[0][k]);
    for (const lift of [0, 0.3, MOST_OVER]) {
      for (const aside of [0, 0.4, -0.4, 0.8, -0.8]) {
        const [a, o] = [around + aside, Math.min(MOST_OVER, over + lift)];
        if (sees(at, eyeAt(a, o))) return [a, o];
      }
    }
    return [around, over];
  }
  function eyeAt(around, over) {
    const far = turning.fit(around, over);
    const [x, y, z] = turning.centre;
    return [x + far * Math.cos(over) * Math.cos(around), y + far * Math.cos(over) * Math.sin(around), z + far * Math.sin(over)];
  }

  // The whole house stays in the picture; who has come nearer stays as near, with the part in the middle.
  function turnTo(places) {
    const [around, over] = look(places);
    const whole = turning.fit(around, over);
    const near = turning.distance < 0.6 * turning.fit();
    turning.goTo(around, over, near ? middleOf(places[0]) : [...turning.centre], near ? turning.distance : whole);
  }
  return { turnTo };
}
