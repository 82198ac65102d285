// The data of the house, what is chosen in it, and small helpers. Every text of the job goes in as text, never as markup.
"use strict";
let HOUSE = null;

function byId(id) { return document.getElementById(id); }

// An element with attributes and children; a child that is a string becomes a text.
function make(name, attributes, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

// Which order lines name a part, by the place of the part; and which parts a line names.
const LINES_OF = new Map();
const PARTS_OF = new Map();

// The house that everything here is about; another may take its place later.
function takeHouse(data) {
  HOUSE = data;
  LINES_OF.clear();
  PARTS_OF.clear();
  for (const line of HOUSE.lines) {
    const found = new Set();
    for (const name of line.r) for (const place of HOUSE.names[name] || []) found.add(place);
    PARTS_OF.set(line.i, [...found]);
    for (const place of found) {
      if (!LINES_OF.has(place)) LINES_OF.set(place, []);
      LINES_OF.get(place).push(line);
    }
  }
}

// What is chosen: parts by place, and the order line they were chosen by, if any.
const Chosen = {
  parts: [],
  line: null,
  inView: true, // touched where they are seen: the house need not turn to them
  listeners: [],
  set(parts, line, inView) {
    this.parts = parts;
    this.line = line || null;
    this.inView = Boolean(inView);
    for (const listener of this.listeners) listener();
  },
  mark(name) {
    const line = HOUSE.lines.find((each) => each.i === name);
    if (line) this.set(PARTS_OF.get(line.i), line);
    else this.set(HOUSE.names[name], null);
  },
};

// The names that a text typed may mean: the one it is, however it is spaced and with or without noughts ("p3.7" is
// P3.07), else those that differ by a sign or two or begin with it, nearest first.
const MOST_NEAR = 8;
const loose = (name) => name.toLowerCase().replace(/\s+/g, "").replace(/,/g, ".").replace(/\d+/g, (figures) => String(Number(figures)));
function namesMeant(typed) {
  const all = [...new Set([...HOUSE.lines.map((line) => line.i), ...Object.keys(HOUSE.names)])];
  const exact = all.filter((name) => name.toLowerCase() === typed.trim().toLowerCase());
  if (exact.length) return { sure: true, names: exact.slice(0, 1) };
  const wanted = loose(typed);
  const same = all.filter((name) => loose(name) === wanted);
  if (same.length) return { sure: same.length === 1, names: same.slice(0, MOST_NEAR) };
  const most = wanted.length > 2 && wanted.length < 30 ? 2 : 1;
  const near = all.map((name) => [apart(wanted, loose(name), most), name]).filter(([steps]) => steps <= most);
  near.sort((a, b) => a[0] - b[0]); // a sort that keeps the house's own order among equals
  const begun = wanted ? all.filter((name) => loose(name).startsWith(wanted)) : [];
  return { sure: false, names: [...new Set([...near.map(([, name]) => name), ...begun])].slice(0, MOST_NEAR) };
}

// How many signs are to be changed, added or taken away to make one text of another; more than `most` is not counted out.
function apart(one, other, most) {
  if (Math.abs(one.length - other.length) > most) return most + 1;
  let row = [...Array(other.length + 1).keys()];
  for (let i = 1; i <= one.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= other.length; j += 1) {
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (one[i - 1] === other[j - 1] ? 0 : 1));
    }
    row = next;
  }
  return row[other.length];
}

// A place in a part's frame, in metres, z up: frame = origin, u, v, n.
function inSpace(frame, u, v, out) {
  const at = (k) => (frame[k] + u * frame[3 + k] + v * frame[6 + k] + out * frame[9 + k]) / 1000;
  return [at(0), at(1), at(2)];
}

// Rings as polygons: an outer ring runs counter-clockwise, the holes that follow it clockwise.
function polygons(rings) {
  const found = [];
  for (const flat of rings) {
    const ring = [];
    for (let i = 0; i < flat.length; i += 2) ring.push([flat[i], flat[i + 1]]);
    let twice = 0;
    ring.forEach(([x, y], i) => { const [p, q] = ring[(i + 1) % ring.length]; twice += x * q - p * y; });
    if (twice >= 0 || !found.length) found.push([ring]);
    else found[found.length - 1].push(ring);
  }
  return found;
}

// Keeps what is ticked and taped in this browser, where it lets us: a file opened from a disk may have no store.
const Kept = {
  get key() { return "takeoff " + HOUSE.head.hash; },
  state: { laid: {}, taped: {} },
  load() {
    try {
      const found = JSON.parse(localStorage.getItem(this.key) || "null");
      if (found && found.laid && found.taped) this.state = found;
    } catch (err) { /* no store: the page works, and files can be saved */ }
  },
  save() {
    try { localStorage.setItem(this.key, JSON.stringify(this.state)); } catch (err) { /* as above */ }
  },
};
