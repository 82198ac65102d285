// A text of several lines. What is being typed stands until it is sent, after a pause or on leaving.
const PAUSE_MS = 600;
export default {
  template: `<label class="form-text"><span class="unseen">{{label}}</span>
    <textarea v-model="text" :rows="rows" spellcheck="false" autocapitalize="off" @input="later" @change="send"></textarea></label>`,
  props: { label: String, value: String, version: Number, rows: Number },
  data() { return { text: this.value, sent: this.value }; },
  watch: { version() { if (this.value !== this.sent) this.text = this.sent = this.value; } },
  beforeUnmount() { this.send(); },
  methods: {
    later() { clearTimeout(this.timer); this.timer = setTimeout(() => this.send(), PAUSE_MS); },
    send() {
      clearTimeout(this.timer);
      if (this.text === this.sent) return;
      this.sent = this.text;
      this.$emit("typed", this.text);
    },
  },
};
