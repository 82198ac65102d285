// The job file to write in: its lines numbered, with a mark at those that something is said of. What is typed is sent
// after a pause; a text that others changed meanwhile is never put over what is being typed, nor under it: it is asked.
const PAUSE_MS = 500;

export default {
  template: `
    <div class="text-box">
      <div v-if="clash" class="notice" role="alert">
        <span>The house was changed elsewhere while you typed here. Whichever you choose, the other is one step back.</span>
        <button type="button" class="plain" @click="keepMine">Keep what I typed</button>
        <button type="button" class="plain" @click="takeTheirs">Take the change</button>
      </div>
      <div class="lines">
        <div class="numbers" ref="numbers" aria-hidden="true"><div v-for="n in count" :class="{said: marks[n]}">{{ marks[n] ? '▸' : '' }}{{ n }}</div></div>
        <textarea ref="box" :aria-label="label" spellcheck="false" autocapitalize="off" autocomplete="off" wrap="off"
          :value="mine" @input="typed" @blur="send" @scroll="scrolled" @finish-typing="send"></textarea>
      </div>
    </div>`,
  props: { text: String, version: Number, marks: { type: Object, default: () => ({}) }, label: String },
  emits: ["wrote", "took"],
  data() {
    return { mine: this.text, base: this.version, sent: null, clash: false, timer: 0 };
  },
  computed: {
    count() {
      return this.mine.split("\n").length;
    },
    dirty() {
      return this.mine !== this.text;
    },
  },
  mounted() {
    window.addEventListener("pagehide", this.send);
  },
  unmounted() {
    window.removeEventListener("pagehide", this.send);
    clearTimeout(this.timer);
  },
  watch: {
    version(now) {
      const waiting = this.timer !== 0 || this.sent !== null;
      if (this.text === this.mine || !waiting) this.settle();
      else if (this.text === this.sent) {
        this.base = now;
        this.sent = null;
      } else {
        this.clash = true;
        this.sent = null;
      }
    },
  },
  methods: {
    settle() {
      const box = this.$refs.box;
      const at = [box.selectionStart, box.selectionEnd];
      const moved = this.mine !== this.text;
      [this.mine, this.base, this.sent, this.clash] = [this.text, this.version, null, false];
      clearTimeout(this.timer);
      this.timer = 0;
      if (moved && document.activeElement === box) this.$nextTick(() => box.setSelectionRange(...at));
    },
    typed(event) {
      this.mine = event.target.value;
      clearTimeout(this.timer);
      this.timer = setTimeout(this.send, PAUSE_MS);
    },
    send() {
      clearTimeout(this.timer);
      this.timer = 0;
      if (this.clash || !this.dirty || this.mine === this.sent) return;
      this.sent = this.mine;
      this.$emit("wrote", { text: this.mine, base: this.base });
    },
    keepMine() {
      this.clash = false;
      this.base = this.version;
      this.send();
    },
    takeTheirs() {
      this.$emit("took", { mine: this.mine, theirs: this.text });
      this.settle();
    },
    scrolled() {
      this.$refs.numbers.scrollTop = this.$refs.box.scrollTop;
    },
    goTo(line) {
      const box = this.$refs.box;
      const lines = this.mine.split("\n");
      const from = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
      box.focus();
      box.setSelectionRange(from, from + (lines[line - 1] || "").length);
      const high = box.scrollHeight / Math.max(lines.length, 1);
      box.scrollTop = Math.max(0, (line - 4) * high);
    },
  },
};
