// A wall seen from outside. x from its left end, y up from the floor, mm; the page turns y down.
const STEP = 10, SNAP_PX = 7, TREMOR_PX = 3, HANDLE_PX = 9, WAIT_MS = 450, SIDE_PX = 84, OVER_PX = 22, UNDER_PX = 42;
const HANDLES = ["sw", "s", "se", "e", "ne", "n", "nw", "w"];

export default {
  template: `
  <div class="elevation" ref="room">
    <svg v-if="wall" ref="svg" :viewBox="box.join(' ')" :style="{height: high + 'px'}" role="group"
         :aria-label="'Elevation, ' + wall.words + (tool ? '. Draw a ' + tool + ' by dragging.' : '')"
         :class="{drawing: tool}" @pointerdown="down" @pointermove="move" @pointerup="up" @pointercancel="drop" @keydown.esc="drop">
      <defs>
        <pattern id="elevation-covered" :width="90" :height="90" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line x1="0" y1="0" x2="0" y2="90" class="thin"></line></pattern>
        <clipPath id="elevation-clip"><polygon :points="ring(wall.outline)"></polygon></clipPath>
      </defs>
      <polyline :points="ground" class="ground"></polyline>
      <g v-for="part in wall.grounds"><polyline :points="ring(part.line)" class="ground-part"><title>{{part.words}}</title></polyline></g>
      <polygon :points="ring(wall.outline)" class="wall"></polygon>
      <g :class="{boards: true, old: wall.old}">
        <polygon v-for="board in wall.boards" :key="board.mark" :points="ring(board.ring)" :data-mark="board.mark"
                 :class="{board: true, lit: board.mark === touched}"><title>{{board.words}}</title></polygon>
      </g>
      <polygon v-for="part in wall.covered" :points="ring(part)" class="covered"><title>not clad: a lower roof or part of the house</title></polygon>
      <polygon :points="ring(wall.outline)" class="edge"></polygon>
      <g v-for="line in wall.lines"><polyline :points="ring(line.line)" class="flashing" :stroke-width="3 * px"><title>{{line.words}}</title></polyline></g>
      <g v-for="floor in wall.floors"><line :x1="0" :x2="wall.width" :y1="-floor" :y2="-floor" class="floor"></line>
        <text :x="wall.width + 8 * px" :y="-floor - 3 * px" :font-size="12 * px" class="soft">floor {{Math.round(floor)}}</text></g>
      <text :x="wall.width + 8 * px" :y="-wall.ground[1] + 14 * px" :font-size="12 * px" class="soft">ground {{Math.round(wall.ground[1])}}</text>
      <g v-for="band in shownBands" :key="'b' + band.at">
        <g v-for="end in band.ends" :key="end.key" tabindex="0" role="slider" class="band" :data-band="band.at" :data-end="end.key"
           :aria-label="band.words + ', ' + end.says" :aria-valuenow="end.y" @keydown="bandKey($event, band, end)">
          <line :x1="band.left" :x2="band.right" :y1="-end.y" :y2="-end.y" class="band-line"></line>
          <line :x1="band.left" :x2="band.right" :y1="-end.y" :y2="-end.y" class="grip" :stroke-width="14 * px"></line>
          <text :x="band.left + 6 * px" :y="-end.y - 4 * px" :font-size="12 * px" class="band-words">{{band.name}} {{end.says}} {{Math.round(end.y)}}</text><title>{{band.words}}</title>
        </g>
      </g>
      <g v-for="one in shown.filter((o) => o.given)" :key="'g' + one.at" class="opening given" :class="{lit: one.mark === touched}" :data-mark="one.mark">
        <rect :x="one.x" :y="-(one.y + one.h)" :width="one.w" :height="one.h"><title>{{one.mark}}, {{one.kind}}: it stands in the drawing or the model and is changed there</title></rect>
        <text :x="one.x + one.w / 2" :y="-(one.y + one.h / 2) + 4 * px" :font-size="14 * px" class="name">{{one.mark}}</text>
      </g>
      <g v-for="one in shown.filter((o) => !o.given)" :key="'o' + one.at" tabindex="0" role="button" :data-opening="one.at" :ref="'o' + one.at"
         :class="{opening: true, lit: one.mark === touched, wrong: one.wrong}" :aria-label="says(one)" :aria-pressed="one.mark === touched"
         @focus="touch(one)" @keydown="key($event, one)">
        <rect :x="one.x" :y="-(one.y + one.h)" :width="Math.max(one.w, 1)" :height="Math.max(one.h, 1)"></rect>
        <line v-if="one.kind === 'door'" :x1="one.x" :y1="-one.y" :x2="one.x + one.w" :y2="-(one.y + one.h / 2)" class="leaf"></line>
        <line v-if="one.kind === 'door'" :x1="one.x" :y1="-(one.y + one.h)" :x2="one.x + one.w" :y2="-(one.y + one.h / 2)" class="leaf"></line>
        <text :x="one.x + one.w / 2" :y="-(one.y + one.h / 2) - 2 * px" :font-size="14 * px" class="name">{{(one.mark === touched ? '▸ ' : '') + one.mark}}</text>
        <text v-if="one.w > 70 * px" :x="one.x + one.w / 2" :y="-(one.y + one.h / 2) + 13 * px" :font-size="11 * px" class="size">{{Math.round(one.w)}} x {{Math.round(one.h)}}</text>
        <text v-if="one.wrong" :x="one.x + one.w / 2" :y="-(one.y + one.h) - 5 * px" :font-size="12 * px" class="fault">{{one.wrong}}</text>
      </g>
      <g v-if="chosen" class="chosen">
        <rect v-for="way in handles" :key="way" :data-handle="way" :x="at(way)[0] - half" :y="-at(way)[1] - half" :width="2 * half" :height="2 * half"
              :style="{cursor: way + '-resize'}"></rect>
        <g class="sizes">
          <line :x1="0" :x2="chosen.x" :y1="-beside" :y2="-beside"></line>
          <text :x="chosen.x / 2" :y="-beside - 4 * px" :font-size="12 * px">{{Math.round(chosen.x)}}</text>
          <line :x1="chosen.x + chosen.w" :x2="wall.width" :y1="-beside" :y2="-beside"></line>
          <text :x="(chosen.x + chosen.w + wall.width) / 2" :y="-beside - 4 * px" :font-size="12 * px">{{Math.round(wall.width - chosen.x - chosen.w)}}</text>
          <text :x="chosen.x + chosen.w + 6 * px" :y="-chosen.y - 3 * px" :font-size="12 * px" class="beside">sill {{Math.round(chosen.y - chosen.floor)}}</text>
          <text :x="chosen.x + chosen.w + 6 * px" :y="-(chosen.y + chosen.h) + 12 * px" :font-size="12 * px" class="beside">head {{Math.round(chosen.y + chosen.h - chosen.floor)}}</text>
        </g>
      </g>
      <line v-for="line in guides" :x1="line[0]" :y1="-line[1]" :x2="line[2]" :y2="-line[3]" class="guide"></line>
      <rect v-if="rubber" :x="rubber.x" :y="-(rubber.y + rubber.h)" :width="rubber.w" :height="rubber.h" class="rubber"></rect>
      <text v-if="rubber" :x="rubber.x" :y="-(rubber.y + rubber.h) - 5 * px" :font-size="13 * px" class="rubber-size">{{rubber.w}} x {{rubber.h}}, sill {{rubber.y}}, {{rubber.x}} from left</text>
      <text :x="wall.width / 2" :y="-foot + 20 * px" :font-size="12 * px" class="overall">{{Math.round(wall.width)}} wide</text>
    </svg>
  </div>`,
  props: { wall: Object, openings: Array, bands: Array, tool: String, touched: String, version: Number },
  data() { return { wide: 800, tall: 500, live: null, liveBand: null, drag: null, rubber: null, guides: [] }; },
  mounted() {
    this.watcher = new ResizeObserver(() => this.measure());
    this.watcher.observe(this.$refs.room);
    this.measure();
  },
  beforeUnmount() { this.watcher.disconnect(); clearTimeout(this.waiting); },
  watch: { version() { if (!this.drag && !this.waiting) { this.live = null; this.liveBand = null; } } },
  computed: {
    ys() { return this.wall.outline.filter((_, n) => n % 2); },
    foot() { return Math.min(...this.ys, ...this.wall.ground, 0); },
    top() { return Math.max(...this.ys); },
    px() {  // mm of the wall in a pixel; words and margins have a size on the screen
      return Math.max(this.wall.width / (this.wide - 2 * SIDE_PX), (this.top - this.foot) / (this.tall - OVER_PX - UNDER_PX));
    },
    high() { return (this.top - this.foot) / this.px + OVER_PX + UNDER_PX; },
    box() {
      const wide = this.wide * this.px;
      return [(this.wall.width - wide) / 2, -this.top - OVER_PX * this.px, wide, this.high * this.px];
    },
    half() { return HANDLE_PX / 2 * this.px; },
    handles() { return HANDLES; },
    ground() {
      const [a, b] = this.wall.ground, past = 40 * this.px;
      return this.ring([-past, a, 0, a, this.wall.width, b, this.wall.width + past, b]);
    },
    placed() { return this.openings.map((one) => this.live && this.live.at === one.at ? { ...one, ...this.live } : one); },
    shown() { return this.placed.map((one) => ({ ...one, wrong: this.wrong(one) })); },
    chosen() { return this.shown.find((one) => one.mark === this.touched && !one.given); },
    beside() {  // where the gaps beside what is chosen are written: under it, or in it where the ground is near
      const under = this.chosen.y - 22 * this.px;
      return under > this.wall.base ? under : this.chosen.y + 26 * this.px;
    },
    shownBands() {
      return this.bands.map((band) => {
        const now = this.liveBand && this.liveBand.at === band.at ? { ...band, ...this.liveBand.now } : band;
        const ends = [["from", "from_mm", "from"], ["to", "to_mm", "up to"]].filter(([key]) => now[key] !== null && now[key] !== undefined);
        return { ...band, ends: ends.map(([key, long, says]) => ({ short: key, key: long, y: now[key], says })) };
      });
    },
  },
  methods: {
    measure() {
      this.wide = Math.max(this.$refs.room.clientWidth, 200);
      this.tall = Math.min(window.innerHeight * 0.46, 620);
    },
    ring(flat) {
      const points = [];
      for (let n = 0; n < flat.length; n += 2) points.push(flat[n] + "," + -flat[n + 1]);
      return points.join(" ");
    },
    says(one) {
      return `${one.mark}, ${one.kind}, ${Math.round(one.w)} wide, ${Math.round(one.h)} high, sill ${Math.round(one.y - one.floor)}, ` +
        `${Math.round(one.x)} from left${one.wrong ? ", " + one.wrong : ""}. Arrows move it 10 mm, with Shift 100 mm; Delete takes it out.`;
    },
    at(way) {
      const one = this.chosen;
      const x = way.includes("w") ? one.x : way.includes("e") ? one.x + one.w : one.x + one.w / 2;
      const y = way.includes("s") ? one.y : way.includes("n") ? one.y + one.h : one.y + one.h / 2;
      return [x, y];
    },
    wrong(one) {
      const other = this.placed.find((o) => o.at !== one.at && Math.min(o.x + o.w, one.x + one.w) - Math.max(o.x, one.x) > 0.5 &&
        Math.min(o.y + o.h, one.y + one.h) - Math.max(o.y, one.y) > 0.5);
      if (other) return "over " + other.mark;
      if (one.x < -0.5 || one.x + one.w > this.wall.width + 0.5) return "out of the wall";
      return one.y + one.h > this.lowest(one.x, one.x + one.w) + 0.5 ? "through the top" : "";
    },
    lowest(a, b) {  // the wall's top where it is lowest between two places
      const flat = this.wall.outline, count = flat.length / 2, low = this.wall.base + 1;
      let least = Infinity;
      for (let n = 0; n < count; n++) {
        const [x0, y0] = [flat[2 * n], flat[2 * n + 1]], [x1, y1] = [flat[2 * ((n + 1) % count)], flat[2 * ((n + 1) % count) + 1]];
        if (Math.abs(x1 - x0) < 0.5 || (y0 < low && y1 < low)) continue;
        const left = Math.max(Math.min(x0, x1), a), right = Math.min(Math.max(x0, x1), b);
        if (right < left) continue;
        for (const x of [left, right]) least = Math.min(least, y0 + (y1 - y0) * (x - x0) / (x1 - x0));
      }
      return least;
    },
    point(event) {
      const svg = this.$refs.svg, p = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      return [p.x, -p.y];
    },
    touch(one) { if (one.mark !== this.touched) this.$emit("touched", { mark: one.mark, at: one.at }); },
    down(event) {
      if (event.button) return;
      const [x, y] = this.point(event), held = event.target.closest("[data-handle],[data-opening],[data-band],[data-mark]");
      const data = held ? held.dataset : {};
      if (this.tool) {
        this.drag = { what: "draw", x: this.step(x), y: this.step(y) };
      } else if (data.handle) {
        this.drag = { what: data.handle, x, y, one: { ...this.chosen } };
      } else if (data.opening !== undefined) {
        const one = this.placed.find((o) => o.at === Number(data.opening));
        this.touch(one);
        held.focus();
        this.drag = { what: "move", x, y, one: { ...one } };
      } else if (data.band !== undefined) {
        this.drag = { what: "band", at: Number(data.band), key: data.end };
      } else {
        this.$emit("touched", { mark: data.mark || "", at: -1 });
        return;
      }
      event.preventDefault();
      this.drag.down = [event.clientX, event.clientY];
      clearTimeout(this.waiting);
      this.waiting = null;
      this.$refs.svg.setPointerCapture(event.pointerId);
    },
    move(event) {
      const drag = this.drag;
      if (!drag) return;
      if (!drag.begun && Math.hypot(event.clientX - drag.down[0], event.clientY - drag.down[1]) < TREMOR_PX) return;
      drag.begun = true;
      const [x, y] = this.point(event);
      if (drag.what === "draw") {
        const [nx, ny] = [this.step(x), this.near(this.step(y), this.levels(-1))];
        const start = this.near(drag.y, this.levels(-1));
        this.rubber = { x: Math.max(Math.min(drag.x, nx), 0), y: Math.min(start, ny), w: Math.abs(nx - drag.x), h: Math.abs(ny - start) };
      } else if (drag.what === "band") {
        this.liveBand = { at: drag.at, key: drag.key, now: { [drag.key === "from_mm" ? "from" : "to"]: this.step(y) } };
      } else this.resize(x - drag.x, y - drag.y, drag, event.altKey);
    },
    resize(dx, dy, drag, free) {
      const one = drag.one;
      let left = one.x, right = one.x + one.w, low = one.y, high = one.y + one.h;
      this.guides = [];
      if (drag.what === "move") {
        const x = free ? this.step(one.x + dx) : this.spaced(this.step(one.x + dx), one);
        const y = free ? this.step(one.y + dy) : this.levelled(this.step(one.y + dy), one);
        [left, right, low, high] = [x, x + one.w, y, y + one.h];
      } else {
        const levels = free ? [] : this.levels(one.at);
        if (drag.what.includes("w")) left = Math.min(this.step(left + dx), right - STEP);
        if (drag.what.includes("e")) right = Math.max(this.step(right + dx), left + STEP);
        if (drag.what.includes("s")) low = Math.min(this.near(this.step(low + dy), levels), high - STEP);
        if (drag.what.includes("n")) high = Math.max(this.near(this.step(high + dy), levels), low + STEP);
        for (const y of [low, high]) if (levels.includes(y)) this.guides.push([0, y, this.wall.width, y]);
      }
      this.live = { at: one.at, x: Math.max(left, 0), y: low, w: right - Math.max(left, 0), h: high - low };
      if (drag.what === "move") this.live.w = one.w;
    },
    step(value) { return Math.round(value / STEP) * STEP; },
    near(value, marks) {
      const best = marks.reduce((a, b) => Math.abs(b - value) < Math.abs(a - value) ? b : a, Infinity);
      return Math.abs(best - value) <= SNAP_PX * this.px ? best : value;
    },
    levels(but) {
      return [...this.wall.floors, ...this.openings.filter((o) => o.at !== but).flatMap((o) => [o.y, o.y + o.h])];
    },
    levelled(y, one) {  // sill or head on another's sill or head
      const marks = this.levels(one.at), low = this.near(y, marks), high = this.near(y + one.h, marks);
      const now = Math.abs(high - y - one.h) > 0 && Math.abs(high - y - one.h) < (low === y ? Infinity : Math.abs(low - y)) ? high - one.h : low;
      for (const level of [now, now + one.h]) if (marks.includes(level)) this.guides.push([0, level, this.wall.width, level]);
      return now;
    },
    spaced(x, one) {  // in the middle, or as far off as others stand from each other or from the ends
      const others = this.openings.filter((o) => o.at !== one.at).sort((a, b) => a.x - b.x);
      const before = others.filter((o) => o.x + o.w <= x + one.w / 2).pop(), after = others.find((o) => o.x >= x + one.w / 2);
      const left = before ? before.x + before.w : 0, right = after ? after.x : this.wall.width;
      const gaps = others.slice(1).map((o, n) => o.x - others[n].x - others[n].w).filter((gap) => gap > 0);
      if (others.length) gaps.push(others[0].x, this.wall.width - others[others.length - 1].x - others[others.length - 1].w);
      const marks = [this.step((left + right - one.w) / 2), ...gaps.flatMap((gap) => [left + gap, right - gap - one.w])];
      const now = this.near(x, marks.filter((mark) => mark >= 0));
      if (marks.includes(now)) this.guides.push([left, one.y, now, one.y], [now + one.w, one.y, right, one.y]);
      return now;
    },
    up() {
      const drag = this.drag;
      this.drag = null;
      this.guides = [];
      if (!drag) return;
      if (drag.what === "draw") {
        if (this.rubber && this.rubber.w >= 5 * STEP && this.rubber.h >= 5 * STEP) this.$emit("added", this.rubber);
        this.rubber = null;
      } else if (drag.what === "band") {
        if (this.liveBand) this.sendBand();
      } else this.send();
    },
    drop() { this.drag = this.rubber = this.live = this.liveBand = null; this.guides = []; },
    send() {
      const now = this.live, one = now && this.openings.find((o) => o.at === now.at);
      this.waiting = null;
      if (one && (now.x !== one.x || now.y !== one.y || now.w !== one.w || now.h !== one.h)) this.$emit("changed", now);
    },
    sendBand() {
      this.waiting = null;
      const { at, key, now } = this.liveBand;
      this.$emit("band", { at, key, y: now.from ?? now.to });
    },
    later(send) { clearTimeout(this.waiting); this.waiting = setTimeout(send, WAIT_MS); },
    key(event, one) {
      const by = event.shiftKey ? 100 : STEP;
      const way = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] }[event.key];
      if (way) {
        const now = this.live && this.live.at === one.at ? this.live : one;
        this.live = { at: one.at, x: Math.max(now.x + way[0], 0), y: now.y + way[1], w: now.w, h: now.h };
        this.later(() => this.send());
      } else if (event.key === "Delete" || event.key === "Backspace") {
        this.$emit("out", { at: one.at });
      } else if (event.key === "Enter" || event.key === " ") {
        this.touch(one);
      } else return;
      event.preventDefault();
    },
    bandKey(event, band, end) {
      const by = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (!by) return;
      this.liveBand = { at: band.at, key: end.key, now: { [end.short]: end.y + by * (event.shiftKey ? 100 : STEP) } };
      this.later(() => this.sendBand());
      event.preventDefault();
    },
  },
};
