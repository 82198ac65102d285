// The data of the house, what is chosen in it, and small helpers. Every text of the job goes in as text, never as markup.
"use strict";
const HOUSE = JSON.parse(document.getElementById("data").textContent);

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
for (const line of HOUSE.lines) {
  const found = new Set();
  for (const name of line.r) for (const place of HOUSE.names[name] || []) found.add(place);
  PARTS_OF.set(line.i, [...found]);
  for (const place of found) {
    if (!LINES_OF.has(place)) LINES_OF.set(place, []);
    LINES_OF.get(place).push(line);
  }
}

// What is chosen: parts by place, and the order line they were chosen by, if any.
const Chosen = {
  parts: [],
  line: null,
  listeners: [],
  set(parts, line) {
    this.parts = parts;
    this.line = line || null;
    for (const listener of this.listeners) listener();
  },
  mark(name) {
    const wanted = name.trim().toLowerCase();
    const line = HOUSE.lines.find((each) => each.i.toLowerCase() === wanted);
    if (line) { this.set(PARTS_OF.get(line.i), line); return true; }
    const key = Object.keys(HOUSE.names).find((each) => each.toLowerCase() === wanted);
    if (key === undefined) return false;
    this.set(HOUSE.names[key], null);
    return true;
  },
};

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
  key: "takeoff " + HOUSE.head.hash,
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
Kept.load();
