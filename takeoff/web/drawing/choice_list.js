// A list of rows of which one is chosen, by pointer or by the arrow keys.
export default {
  template: `
  <div class="choice-list" role="listbox" tabindex="0" :aria-label="label" :aria-activedescendant="id(chosen)" @keydown="key" ref="box">
    <div v-for="row in rows" :key="row[0]" :id="id(row[0])" role="option" :aria-selected="row[0] === chosen" :class="{row: true, chosen: row[0] === chosen}"
         @click="choose(row[0])"><span class="first">{{row[0] === chosen ? '▸ ' : ''}}{{row[1]}}</span><span>{{row[2]}}</span><span class="soft">{{row[3]}}</span></div>
    <div v-if="!rows.length" class="soft">{{none}}</div>
  </div>`,
  props: { label: String, rows: Array, chosen: String, none: String },
  methods: {
    id(key) { return key ? "row-" + this._.uid + "-" + key.replace(/[^A-Za-z0-9_-]/g, "_") : undefined; },
    choose(key) { if (key !== this.chosen) this.$emit("chosen", key); },
    key(event) {
      const at = this.rows.findIndex((row) => row[0] === this.chosen);
      const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: this.rows.length - 1, PageDown: at + 12, PageUp: at - 12 }[event.key];
      if (to === undefined || !this.rows.length) return;
      event.preventDefault();
      this.choose(this.rows[Math.min(Math.max(to, 0), this.rows.length - 1)][0]);
    },
  },
  watch: { chosen(now) { this.$nextTick(() => { const row = document.getElementById(this.id(now)); if (row) row.scrollIntoView({ block: "nearest" }); }); } },
};
