// The house in space, a page of its own inside this one: it is told of newer data and of what is touched, and tells what
// is touched in it. Data are fetched while it is looked at, once for each number.
export default {
  template: `<div class="house-view" ref="room"><iframe ref="frame" :src="root + '/house'" title="The house in space"></iframe></div>`,
  props: { root: String, number: Number, lit: Array },
  mounted() {
    this.fetched = -1;
    this.ready = false;
    this.kept = null;
    this.hears = (event) => this.heard(event);
    window.addEventListener("message", this.hears);
    this.watcher = new IntersectionObserver((seen) => { this.seen = seen[seen.length - 1].isIntersecting; this.fetchNewest(); });
    this.watcher.observe(this.$refs.room);
  },
  unmounted() {
    window.removeEventListener("message", this.hears);
    this.watcher.disconnect();
  },
  watch: {
    number() { this.fetchNewest(); },
    lit() { this.say({ lit: [...(this.lit || [])] }); },
  },
  methods: {
    say(message) {
      if (this.ready && this.$refs.frame.contentWindow) this.$refs.frame.contentWindow.postMessage(message, window.location.origin);
    },
    heard(event) {
      if (event.origin !== window.location.origin || event.source !== this.$refs.frame.contentWindow) return;
      const said = event.data || {};
      if (said.ready) {
        this.ready = true;
        this.fetched = -1;
        this.fetchNewest();
      }
      if (said.kept) this.kept = said.kept;
      if ("touched" in said) this.$emit("touched", { mark: String(said.touched) });
    },
    async fetchNewest() {
      if (!this.seen || !this.ready || this.fetched === this.number) return;
      const number = this.number;
      this.fetched = number;
      const answer = await fetch(`${this.root}/house.json?n=${number}`);
      if (!answer.ok || number !== this.number) { this.fetched = -1; this.fetchNewest(); return; }
      this.say({ house: await answer.json(), kept: this.kept ? JSON.parse(JSON.stringify(this.kept)) : null });
      this.say({ lit: [...(this.lit || [])] });
    },
  },
};
