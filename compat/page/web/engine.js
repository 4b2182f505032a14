// Where the answers come from: Python in a worker of this page, or in the program on this machine.
"use strict";
class WorkerEngine {
  constructor(told) { this.told = told; this.waiting = new Map(); this.files = new Map(); this.last = 0; this.begin(); }
  begin() {
    // A worker made of a blob keeps to the content security policy of the page; one made of an address does not.
    const start = new Blob([`import ${JSON.stringify(new URL("worker.js", location.href).href)};`], { type: "text/javascript" });
    this.worker = new Worker(URL.createObjectURL(start), { type: "module" });
    this.worker.onmessage = ({ data }) => {
      const one = this.waiting.get(data.id);
      if (data.state) this.told(data.state, data.problem);
      else if (data.tell && one) one.tell(data.tell);
      else if (one) { this.waiting.delete(data.id); one.done(data.answer); }
    };
    this.worker.onerror = (event) => this.fell(event.message || "the interpreter did not start");
  }
  fell(why) {
    this.told("failed", why);
    for (const one of this.waiting.values()) one.done({ faults: ["The program has stopped in this browser. Your file is still here; try again."] });
    this.waiting.clear();
  }
  send(message, tell, given = []) {
    const id = ++this.last;
    return new Promise((done) => { this.waiting.set(id, { done, tell }); this.worker.postMessage({ ...message, id }, given); });
  }
  ask(action, asked, tell = () => {}) {
    if (action === "demo") this.hasDemo = true;
    return this.send({ action, asked }, tell);
  }
  async put(place, name, bytes) {
    const answer = await this.send({ put: { place, name, bytes } }, () => {});
    this.files.set(answer.path, { place, name, bytes });
    return answer.path;
  }
  async stop() {
    this.worker.terminate();
    for (const one of this.waiting.values()) one.done({ stopped: true });
    this.waiting.clear();
    this.begin();
    if (this.hasDemo) await this.send({ action: "demo", asked: {} }, () => {});
    const files = [...this.files.values()];
    for (const { place, name, bytes } of files) await this.send({ put: { place, name, bytes } }, () => {});
  }
}

class ServerEngine {
  constructor(told) { this.told = told; this.running = new Set(); told("ready"); }
  async ask(action, asked, tell = () => {}) {
    const control = new AbortController();
    this.running.add(control);
    try {
      const answer = await fetch("ask", { method: "POST", signal: control.signal, headers: { "content-type": "application/json" },
        body: JSON.stringify({ action, asked }) });
      if (!answer.ok) throw new Error(answer.statusText);
      const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
      let text = "", found = null;
      for (;;) {
        const { done, value } = await reader.read();
        text += value ?? "";
        const lines = text.split("\n");
        text = lines.pop();
        for (const line of lines) { const one = JSON.parse(line); if ("tell" in one) tell(one.tell); else found = one.answer; }
        if (done) break;
      }
      return found ?? { faults: ["The program gave no answer. Your file is still here; try again."] };
    } catch {
      return control.signal.aborted ? { stopped: true } : { faults: ["The program on this machine does not answer. Start 'compat serve' again."] };
    } finally { this.running.delete(control); }
  }
  async put(place, name, bytes) {
    const query = new URLSearchParams({ place, name });
    const answer = await fetch(`put?${query}`, { method: "POST", body: bytes });
    return (await answer.json()).path;
  }
  async stop() {
    for (const one of this.running) one.abort();
    await fetch("stop", { method: "POST" });
  }
}
