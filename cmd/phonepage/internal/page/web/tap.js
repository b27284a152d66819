// Runs in the audio thread: passes on the microphone's samples in blocks, through the port it is given.
registerProcessor("tap", class extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(4096);
    this.held = 0;
    this.port.onmessage = ({ data }) => { this.to = data; };
  }

  process([[samples]]) {
    if (!samples || !this.to) return true;
    for (let at = 0; at < samples.length;) {
      const n = Math.min(samples.length - at, this.block.length - this.held);
      this.block.set(samples.subarray(at, at + n), this.held);
      this.held += n;
      at += n;
      if (this.held === this.block.length) {
        this.to.postMessage(this.block, [this.block.buffer]);
        this.block = new Float32Array(4096);
        this.held = 0;
      }
    }
    return true;
  }
});
