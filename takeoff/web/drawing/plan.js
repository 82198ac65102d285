// The plan: what the job draws, and the hand that draws on it. Everything is in mm of the job's plan, +y up; what is moved is
// drawn at once, and one event at the end says what was done.
import { cornerMoved, drawnOut, lengthMm, outward, snapped, squared } from "plan_hand";

const STEP = 10, NEAR_PX = 8, MOST_HANDLES = 400;
const GRIDS = [10, 50, 100, 500, 1000, 5000, 10000, 50000, 100000, 1000000];
const WAYS = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export default {
  template: `
<div class="plan-board">
  <svg ref="svg" class="plan-svg" :class="'mode-' + mode" tabindex="0" role="application" :aria-label="label"
    @pointerdown="down" @pointermove="move" @pointerup="up" @pointercancel="drag = null" @dblclick.prevent="twice"
    @wheel.prevent="wheel" @keydown="key">
    <defs>
      <pattern id="plan-hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line x1="0" y1="0" x2="0" y2="7" class="hatch" />
      </pattern>
    </defs>
    <g class="grid" aria-hidden="true">
      <line v-for="l in gridLines" :key="l.key" :x1="l.x1" :y1="l.y1" :x2="l.x2" :y2="l.y2" :class="{ axis: l.axis }" />
    </g>
    <image v-if="under" :href="under.href" :x="X(underAt[0])" :y="Y(underAt[1] + under.high)" :width="under.wide / scale"
      :height="under.high / scale" :opacity="under.opacity" preserveAspectRatio="none" />
    <g class="planes">
      <path v-for="p in view.planes" :key="p.id" :d="rings(p.rings)" fill-rule="evenodd" :data-what="'mark'" :data-mark="p.id"
        :fill="isLit(p.id) ? 'url(#plan-hatch)' : 'transparent'"
        :class="{ lit: isLit(p.id), stale: !view.current }" />
    </g>
    <g class="falls" aria-hidden="true">
      <g v-for="p in view.planes" :key="p.id" :transform="'translate(' + X(p.at[0]) + ' ' + Y(p.at[1]) + ')'">
        <g v-if="p.px / scale > 40" :transform="'rotate(' + p.turn + ')'"><path d="M-14 0H14M7 -4L14 0L7 4" class="fall" /></g>
        <text v-if="p.px / scale > 90" y="-8" class="small">{{ p.words }}</text>
      </g>
    </g>
    <g class="lines">
      <g v-for="l in view.lines" :key="l.id" :class="[l.kind, { lit: isLit(l.id), stale: !view.current }]">
        <line v-bind="ends(l.a, l.b)" />
        <line v-bind="ends(l.a, l.b)" class="reach" data-what="mark" :data-mark="l.id" tabindex="-1" />
      </g>
    </g>
    <g class="typed" v-for="(roof, r) in drawn" :key="'r' + r">
      <path v-if="mode === 'move'" :d="rings(roof.rings)" class="whole" data-what="roof" :data-roof="r" />
      <path v-if="!roof.sides.length" :d="rings(roof.rings)" class="side many" />
      <g v-for="e in roof.sides" :key="e.n" :class="{ lit: isLit(e.mark), gone: e.kind === 'wall' }">
        <line v-bind="ends(e.a, e.b)" class="side" :class="e.kind" />
        <line v-bind="ends(e.a, e.b)" class="reach" data-what="edge" :data-roof="r" :data-n="e.n" tabindex="0" role="button"
          :aria-label="e.label" @focus="focused(e.mark)" />
        <g v-if="e.px > 34" :transform="e.turn" class="dimension" data-what="length" :data-roof="r" :data-n="e.n">
          <text data-what="length" :data-roof="r" :data-n="e.n">{{ isLit(e.mark) ? '\u25b8 ' : '' }}{{ e.length
            }}<tspan v-if="e.word && e.px > 90" dx="7" data-what="length" :data-roof="r" :data-n="e.n">{{ e.word }}</tspan></text>
        </g>
      </g>
      <g>
        <rect v-for="c in roof.corners" :key="c.n" :x="X(c.p[0]) - 5" :y="Y(c.p[1]) - 5" width="10" height="10" class="corner"
          :class="{ lit: isLit(c.mark) }" data-what="corner" :data-roof="r" :data-n="c.n" tabindex="0" role="button"
          :aria-label="c.label" @focus="focused(c.mark)" />
      </g>
    </g>
    <g v-if="mode === 'draw' && hand.length" class="drawing">
      <polyline :points="hand.map((p) => X(p[0]) + ',' + Y(p[1])).join(' ')" />
      <line v-if="next" v-bind="ends(hand[hand.length - 1], next)" class="coming" />
      <text v-if="next" v-bind="midway(hand[hand.length - 1], next)" class="coming-length">{{ typing || span(hand[hand.length - 1], next) }}</text>
      <rect v-for="(p, i) in hand" :key="i" :x="X(p[0]) - 5" :y="Y(p[1]) - 5" width="10" height="10" class="corner"
        :class="{ lit: i === 0 && closes }" />
    </g>
    <g v-if="marked.length" class="marked">
      <circle v-for="(p, i) in marked" :key="i" :cx="X(p[0])" :cy="Y(p[1])" r="6" />
      <line v-if="marked.length === 2" v-bind="ends(marked[0], marked[1])" />
    </g>
    <g v-if="!view.roofs.length && !hand.length && !under" class="empty" aria-hidden="true">
      <text :x="w / 2" :y="h / 2 - 12" class="first">Draw the walls: click the corners, or type a length</text>
      <text :x="w / 2" :y="h / 2 + 16">Begin at any corner of the house and walk round it.</text>
    </g>
    <g class="north" :transform="'translate(' + (w - 46) + ' 50)'" tabindex="0" role="slider" data-what="north"
      aria-label="North" aria-valuemin="0" aria-valuemax="359" :aria-valuenow="Math.round(northNow)">
      <circle r="30" data-what="north" /><g :transform="'rotate(' + -northNow + ')'" data-what="north">
        <path d="M0 26V-24M-7 -12L0 -26L7 -12Z" data-what="north" /><text y="-30" data-what="north">N</text></g>
    </g>
    <g class="scale-bar" :transform="'translate(14 ' + (h - 14) + ')'" aria-hidden="true">
      <path :d="'M0 -6V0H' + grid / scale + 'V-6'" /><text :x="grid / scale + 8" y="0">{{ gridWords }}</text>
    </g>
  </svg>
  <div class="plan-prompt" role="status">{{ prompt }}
    <span v-if="mode === 'draw' && hand.length" class="hand">
      <button type="button" class="plain" :disabled="hand.length < 3" @click="close">Close the outline</button>
      <button type="button" class="plain" @click="back">Take the last corner back</button>
      <button type="button" class="plain" @click="giveUp">Give up</button>
    </span>
  </div>
</div>`,
  props: { view: Object, lit: Array, mode: String, under: Object, label: String },
  emits: ["touched", "corner", "corner_by", "edge", "put_in", "take_out", "roof_moved", "drawn", "given_up", "points", "under_moved", "north"],
  data: () => ({ w: 800, h: 500, cx: 6000, cy: 4000, scale: 25, drag: null, kept: null, hand: [], at: null, typing: "", wrong: "",
    marked: [], northNow: 0, turning: false, waiting: 0, added: false, most: MOST_HANDLES, fitted: false }),
  computed: {
    drawn() {
      return this.view.roofs.map((roof, r) => this.shown(roof, r));
    },
    underAt() {
      const d = this.drag && this.drag.what === "under" ? this.drag.shift : [0, 0];
      return [this.under.x + d[0], this.under.y + d[1]];
    },
    grid() {
      return GRIDS.find((g) => g / this.scale >= 32) || GRIDS[GRIDS.length - 1];
    },
    gridWords() {
      return this.grid < 1000 ? `${this.grid} mm` : `${this.grid / 1000} m`;
    },
    gridLines() {
      const g = this.grid, lines = [], wide = (this.w / 2) * this.scale, high = (this.h / 2) * this.scale;
      for (let x = Math.ceil((this.cx - wide) / g) * g; x <= this.cx + wide; x += g)
        lines.push({ key: "x" + x, x1: this.X(x), x2: this.X(x), y1: 0, y2: this.h, axis: x === 0 });
      for (let y = Math.ceil((this.cy - high) / g) * g; y <= this.cy + high; y += g)
        lines.push({ key: "y" + y, x1: 0, x2: this.w, y1: this.Y(y), y2: this.Y(y), axis: y === 0 });
      return lines;
    },
    closes() {
      return this.hand.length > 2 && this.at && Math.hypot(this.at[0] - this.hand[0][0], this.at[1] - this.hand[0][1]) < NEAR_PX * this.scale;
    },
    next() {
      if (!this.hand.length) return null;
      const last = this.hand[this.hand.length - 1], way = this.way();
      const mm = this.typing ? lengthMm(this.typing) : NaN;
      if (mm > 0) return [last[0] + way[0] * mm, last[1] + way[1] * mm];
      return this.at;
    },
    prompt() {
      if (this.wrong) return this.wrong;
      if (this.mode === "draw") {
        if (!this.hand.length) return "Click the first corner, or press Enter to begin at 0, 0.";
        if (this.typing) return `${this.typing} : Enter takes it towards the pointer, an arrow key that way. Backspace rubs out.`;
        return "Click the next corner, or type its length. Square and in steps of 10 mm; Shift frees. " +
          (this.hand.length > 2 ? "The first corner or Enter closes. " : "") + "Escape gives up, Backspace takes the last corner back.";
      }
      if (this.mode === "scale") return this.marked.length < 1 ? "Click one end of a length that you know, on the picture." :
        this.marked.length < 2 ? "Click its other end." : "Type how long it is, beside the plan.";
      if (this.mode === "under") return "Drag the picture to its place; the arrow keys move it by 10 mm.";
      if (this.mode === "move") return "Drag a whole roof to its place, in steps of 10 mm.";
      if (!this.view.roofs.length) return "";
      return "Drag a corner or an edge (Shift frees a corner); double-click an edge for a new corner. Wheel: nearer or further; drag the paper to move it.";
    },
  },
  watch: {
    view(now, before) {
      if (!this.waiting) this.kept = null;
      if (now.roofs.length > before.roofs.length) this.added = true;
      if (this.added && !this.inView()) this.fit();
      if (now.current) this.added = false; // its shape is there: what it needs is seen
      if (!this.turning) this.northNow = this.view.north;
      if (!this.fitted && this.box()) this.fit();
    },
    mode(now) {
      this.hand = []; this.typing = ""; this.wrong = ""; this.marked = []; this.at = null; this.kept = null;
      if (now !== "touch") this.$refs.svg.focus();
    },
  },
  mounted() {
    this.northNow = this.view.north;
    this.watcher = new ResizeObserver(() => this.sized());
    this.watcher.observe(this.$refs.svg);
    this.sized();
    if (this.mode === "draw") this.$refs.svg.focus();
  },
  unmounted() {
    this.watcher.disconnect();
  },
  methods: {
    X(x) { return (x - this.cx) / this.scale + this.w / 2; },
    Y(y) { return this.h / 2 - (y - this.cy) / this.scale; },
    place(e) {
      const box = this.$refs.svg.getBoundingClientRect();
      return [(e.clientX - box.left - this.w / 2) * this.scale + this.cx, (this.h / 2 - (e.clientY - box.top)) * this.scale + this.cy];
    },
    ends(a, b) { return { x1: this.X(a[0]), y1: this.Y(a[1]), x2: this.X(b[0]), y2: this.Y(b[1]) }; },
    midway(a, b) { return { x: (this.X(a[0]) + this.X(b[0])) / 2 + 10, y: (this.Y(a[1]) + this.Y(b[1])) / 2 - 10 }; },
    rings(all) {
      return all.map((ring) => "M" + ring.map((p) => `${this.X(p[0]).toFixed(1)} ${this.Y(p[1]).toFixed(1)}`).join("L") + "Z").join("");
    },
    span(a, b) { return String(Math.round(Math.hypot(b[0] - a[0], b[1] - a[1]))); },
    isLit(mark) { return this.lit.includes(mark); },
    held(roof, r) {
      const d = this.drag, base = this.kept && this.kept.roof === r ? this.kept.rings : roof.rings;
      if (!d || d.roof !== r || !d.moved || !base.length) return base;
      if (d.what === "roof") return base.map((ring) => ring.map((p) => [p[0] + d.shift[0], p[1] + d.shift[1]]));
      const [which, k] = this.within({ rings: base }, d.n);
      return base.map((ring, i) => (i !== which ? ring : d.what === "corner" ? cornerMoved(ring, k, d.to, d.free) : drawnOut(ring, k, d.shift)));
    },
    within(roof, n) {
      let left = n - 1;
      for (let i = 0; i < roof.rings.length; i++) {
        if (left < roof.rings[i].length) return [i, left];
        left -= roof.rings[i].length;
      }
      return [0, 0];
    },
    shown(roof, r) {
      const rings = this.held(roof, r), sides = [], corners = [];
      if (roof.sides.length > this.most) return { rings, sides, corners }; // a survey of a thousand corners: drawn, not handled
      let n = 0;
      rings.forEach((ring, which) => ring.forEach((a, k) => {
        n += 1;
        const b = ring[(k + 1) % ring.length], said = roof.sides[n - 1] || {}, out = outward(ring, k);
        const length = this.span(a, b), px = Number(length) / this.scale, mark = `roof ${r + 1} edge ${n}`;
        const off = (which ? -1 : 1) * (13 + (said.over || 0) / this.scale), x = this.X((a[0] + b[0]) / 2) + out[0] * off, y = this.Y((a[1] + b[1]) / 2) - out[1] * off;
        let angle = (-Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
        if (angle > 90.1 || angle <= -89.9) angle += angle > 0 ? -180 : 180;
        sides.push({ n, a, b, px, mark, length, kind: said.kind || "eave", word: said.word, turn: `translate(${x} ${y}) rotate(${angle})`,
          label: `Edge ${n} of roof ${roof.name}, ${said.kind || "eave"}, ${length} mm` });
        corners.push({ n, p: a, mark: `roof ${r + 1} corner ${n}`, label: `Corner ${n} of roof ${roof.name}, x ${a[0]}, y ${a[1]}` });
      }));
      return { rings, sides, corners };
    },
    // ---- the view
    sized() {
      const box = this.$refs.svg.getBoundingClientRect();
      if (!box.width || !box.height) return;
      this.w = box.width; this.h = box.height;
      if (!this.fitted && this.box()) this.fit();
    },
    box() {
      const points = this.view.roofs.flatMap((r) => r.rings.flat()).concat(this.view.planes.flatMap((p) => p.rings.flat()));
      if (this.under && !points.length) points.push([this.under.x, this.under.y], [this.under.x + this.under.wide, this.under.y + this.under.high]);
      if (!points.length) return null;
      const xs = points.map((p) => p[0]), ys = points.map((p) => p[1]);
      return [xs.reduce((a, b) => Math.min(a, b)), ys.reduce((a, b) => Math.min(a, b)), xs.reduce((a, b) => Math.max(a, b)), ys.reduce((a, b) => Math.max(a, b))];
    },
    inView() {
      const b = this.box();
      return !b || (this.X(b[0]) > 0 && this.X(b[2]) < this.w && this.Y(b[3]) > 0 && this.Y(b[1]) < this.h);
    },
    fit() {
      const b = this.box();
      if (!b) { this.cx = 6000; this.cy = 4000; this.scale = 25; return; }
      this.cx = (b[0] + b[2]) / 2; this.cy = (b[1] + b[3]) / 2;
      this.scale = Math.max((b[2] - b[0]) / Math.max(this.w - 130, 50), (b[3] - b[1]) / Math.max(this.h - 110, 50), 0.2);
      this.fitted = true;
    },
    zoom(factor, at) {
      const scale = Math.min(Math.max(this.scale * factor, 0.2), 20000);
      const [x, y] = at || [this.cx, this.cy], f = scale / this.scale;
      this.cx = x + (this.cx - x) * f; this.cy = y + (this.cy - y) * f; this.scale = scale;
    },
    wheel(e) { this.zoom(e.deltaY > 0 ? 1.15 : 1 / 1.15, this.place(e)); },
    send(name, said) { this.waiting += 1; this.$emit(name, said); },
    // the server has taken, or refused, one thing that was sent
    settle() { this.waiting = Math.max(this.waiting - 1, 0); if (!this.waiting) this.kept = null; },
    // ---- the pointer
    down(e) {
      if (e.button > 1) return;
      const d = e.target.dataset, what = d.what || "paper", from = this.place(e);
      if (this.mode === "draw" && e.button === 0 && what !== "north") { this.$refs.svg.focus(); return this.click(e, from); }
      if (this.mode === "scale" && e.button === 0 && what !== "north") return this.mark(from);
      this.$refs.svg.setPointerCapture(e.pointerId);
      const roof = d.roof === undefined ? -1 : Number(d.roof), n = Number(d.n || 0);
      this.drag = { what: e.button === 1 ? "paper" : this.mode === "under" ? "under" : what, roof, n, mark: d.mark, from, x: e.clientX, y: e.clientY, shift: [0, 0], to: from, moved: false, free: false };
      if (what === "north") this.turning = true;
      if (what === "corner") this.drag.base = this.drawn[roof].corners[n - 1].p;
    },
    move(e) {
      const now = this.place(e), d = this.drag;
      if (this.mode === "draw") this.at = this.meant(now, e.shiftKey);
      if (!d) return;
      if (!d.moved && Math.hypot(e.clientX - d.x, e.clientY - d.y) < 3) return;
      d.moved = true;
      d.free = e.shiftKey;
      const shift = [snapped(now[0] - d.from[0], STEP), snapped(now[1] - d.from[1], STEP)];
      if (d.what === "north") return this.turn(e);
      if (d.what === "paper" || d.what === "mark") { this.cx -= now[0] - d.from[0]; this.cy -= now[1] - d.from[1]; return; }
      d.shift = shift;
      if (d.what === "corner") {
        const p = d.base;
        d.to = d.free ? [now[0] - d.from[0] + p[0], now[1] - d.from[1] + p[1]].map(Math.round) : [snapped(p[0] + now[0] - d.from[0], STEP), snapped(p[1] + now[1] - d.from[1], STEP)];
      }
    },
    up() {
      const d = this.drag;
      this.drag = null;
      if (!d) return;
      if (d.what === "north") { this.turning = false; if (d.moved) this.send("north", { deg: this.northNow }); return; }
      if (!d.moved) return this.tapped(d);
      if (d.what === "under") return this.$emit("under_moved", { dx: d.shift[0], dy: d.shift[1] });
      if (!["corner", "edge", "length", "roof"].includes(d.what)) return;
      this.drag = d;
      this.kept = { roof: d.roof, rings: this.held(this.view.roofs[d.roof], d.roof) };
      this.drag = null;
      if (d.what === "corner") this.send("corner", { roof: d.roof, corner: d.n, x: d.to[0], y: d.to[1], free: d.free });
      else if (d.what === "roof") this.send("roof_moved", { roof: d.roof, dx: d.shift[0], dy: d.shift[1] });
      else this.send("edge", { roof: d.roof, edge: d.n, dx: d.shift[0], dy: d.shift[1] });
    },
    tapped(d) {
      const mark = d.what === "mark" ? d.mark : d.what === "corner" ? `roof ${d.roof + 1} corner ${d.n}` :
        d.what === "edge" || d.what === "length" ? `roof ${d.roof + 1} edge ${d.n}` : d.what === "roof" ? `roof ${d.roof + 1}` : "";
      this.$emit("touched", { mark, length: d.what === "length" });
    },
    focused(mark) {
      if (!this.drag && this.mode === "touch" && this.lit[0] !== mark) this.$emit("touched", { mark, length: false });
    },
    twice(e) {
      const d = e.target.dataset;
      if (this.mode !== "touch" || (d.what !== "edge" && d.what !== "length")) return;
      const roof = this.view.roofs[Number(d.roof)], [which, k] = this.within(roof, Number(d.n)), ring = roof.rings[which];
      const a = ring[k], b = ring[(k + 1) % ring.length], at = this.place(e), long = Math.hypot(b[0] - a[0], b[1] - a[1]);
      const far = ((at[0] - a[0]) * (b[0] - a[0]) + (at[1] - a[1]) * (b[1] - a[1])) / long;
      this.send("put_in", { roof: Number(d.roof), edge: Number(d.n), at: snapped(far, STEP) });
    },
    turn(e) {
      const box = this.$refs.svg.getBoundingClientRect();
      const angle = (Math.atan2(e.clientX - box.left - (this.w - 46), -(e.clientY - box.top - 50)) * 180) / Math.PI;
      this.northNow = (Math.round(-angle) + 720) % 360;
    },
    mark(at) {
      this.marked = this.marked.length > 1 ? [at] : [...this.marked, at];
      if (this.marked.length === 2) this.$emit("points", { a: this.marked[0], b: this.marked[1] });
    },
    // ---- drawing an outline
    meant(at, free) {
      const last = this.hand[this.hand.length - 1], before = this.hand[this.hand.length - 2];
      if (this.hand.length > 2 && Math.hypot(at[0] - this.hand[0][0], at[1] - this.hand[0][1]) < NEAR_PX * this.scale) return this.hand[0].slice();
      if (free) return at.map(Math.round);
      const near = (k) => this.hand.concat(this.view.roofs.flatMap((r) => r.rings.flat())).map((p) => p[k]).find((v) => Math.abs(v - at[k]) < 6 * this.scale);
      const lined = [near(0) ?? snapped(at[0], STEP), near(1) ?? snapped(at[1], STEP)];
      if (!last) return lined;
      const to = squared(last, before, lined);
      if (to[0] === last[0] || to[1] === last[1]) return to;
      const long = Math.hypot(to[0] - last[0], to[1] - last[1]) || 1, step = snapped(long, STEP) / long;
      return [last[0] + (to[0] - last[0]) * step, last[1] + (to[1] - last[1]) * step];
    },
    way() {
      const n = this.hand.length, last = this.hand[n - 1];
      if (this.at && (this.at[0] !== last[0] || this.at[1] !== last[1])) {
        const d = [this.at[0] - last[0], this.at[1] - last[1]], long = Math.hypot(d[0], d[1]);
        return [d[0] / long, d[1] / long];
      }
      if (n < 2) return [1, 0];
      const d = [last[0] - this.hand[n - 2][0], last[1] - this.hand[n - 2][1]], long = Math.hypot(d[0], d[1]) || 1;
      return [-d[1] / long, d[0] / long];
    },
    click(e, from) {
      const to = this.meant(from, e.shiftKey), last = this.hand[this.hand.length - 1];
      this.wrong = "";
      if (this.hand.length > 2 && to[0] === this.hand[0][0] && to[1] === this.hand[0][1]) return this.close();
      if (!last || to[0] !== last[0] || to[1] !== last[1]) this.hand.push(to);
      this.typing = "";
      this.at = null;
    },
    takeTyped(way) {
      const mm = lengthMm(this.typing), last = this.hand[this.hand.length - 1];
      if (!(mm > 0)) { this.wrong = `"${this.typing}" is no length: type millimetres (6200) or metres (6.2 m).`; this.typing = ""; return; }
      this.hand.push([last[0] + way[0] * mm, last[1] + way[1] * mm]);
      this.typing = ""; this.at = null;
    },
    close() {
      if (this.hand.length < 3) return;
      this.send("drawn", { points: this.hand }); // what was drawn stays until it is taken: then the mode changes
      this.typing = ""; this.at = null;
    },
    back() { this.hand.pop(); this.at = null; this.wrong = ""; this.$refs.svg.focus(); },
    giveUp() { this.hand = []; this.typing = ""; this.wrong = ""; this.$emit("given_up", {}); },
    // ---- the keyboard
    key(e) {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      const done = this.mode === "draw" && e.target === this.$refs.svg ? this.drawKey(e) : this.planKey(e);
      if (done) { e.preventDefault(); e.stopPropagation(); }
    },
    drawKey(e) {
      this.wrong = "";
      if (e.key === "Escape") { if (this.typing) this.typing = ""; else this.giveUp(); return true; }
      if (e.key === "Backspace") { if (this.typing) this.typing = this.typing.slice(0, -1); else this.back(); return true; }
      if (!this.hand.length) {
        if (e.key !== "Enter" && !/^[0-9]$/.test(e.key)) return this.viewKey(e);
        this.hand.push([0, 0]);
        if (e.key === "Enter") return true;
      }
      if (/^[0-9.,]$/.test(e.key) || (this.typing && /^[m ]$/.test(e.key))) { this.typing += e.key; return true; }
      if (e.key === "Enter") { if (this.typing) this.takeTyped(this.way()); else if (this.at && !this.closes) { this.hand.push(this.at); this.at = null; } else this.close(); return true; }
      if (WAYS[e.key] && this.typing) { this.takeTyped(WAYS[e.key]); return true; }
      return this.viewKey(e);
    },
    planKey(e) {
      const d = e.target.dataset, way = WAYS[e.key], step = e.shiftKey ? 100 : 10, roof = Number(d.roof), n = Number(d.n);
      if (this.mode === "under" && way && e.target === this.$refs.svg) { this.$emit("under_moved", { dx: way[0] * step, dy: way[1] * step }); return true; }
      if (d.what === "north" && way) { this.send("north", { deg: (this.northNow + (way[0] + way[1]) * (e.shiftKey ? 10 : 1) + 360) % 360 }); return true; }
      if (d.what === "corner" && way) {
        this.send("corner_by", { roof, corner: n, dx: way[0] * step, dy: way[1] * step });
        return true;
      }
      if (d.what === "corner" && (e.key === "Delete" || e.key === "Backspace")) { this.send("take_out", { roof, corner: n }); return true; }
      if (d.what === "edge" && way) { this.send("edge", { roof, edge: n, dx: way[0] * step, dy: way[1] * step }); return true; }
      if (d.what === "edge" && e.key === "Insert") { this.send("put_in", { roof, edge: n, at: -1 }); return true; }
      if (d.what === "edge" && (e.key === "Enter" || e.key === " ")) { this.$emit("touched", { mark: `roof ${roof + 1} edge ${n}`, length: true }); return true; }
      if (e.key === "Escape") { this.$emit("given_up", {}); return true; }
      return this.viewKey(e);
    },
    viewKey(e) {
      if (e.key === "+" || e.key === "=") { this.zoom(1 / 1.25); return true; }
      if (e.key === "-") { this.zoom(1.25); return true; }
      if (e.key === "f") { this.fit(); return true; }
      const way = WAYS[e.key];
      if (!way) return false;
      this.cx += way[0] * 40 * this.scale; this.cy += way[1] * 40 * this.scale;
      return true;
    },
  },
};
