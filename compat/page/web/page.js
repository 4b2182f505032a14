// The frame: three screens, of which one is in the page at a time, and what goes on at its foot.
"use strict";
const app = { screens: {}, started: null, isReady: false };
app.state = (text) => { document.getElementById("app-state").textContent = text; };
app.show = (name) => {
  for (const button of document.querySelectorAll("[data-screen]")) {
    if (button.dataset.screen === name) button.setAttribute("aria-current", "page"); else button.removeAttribute("aria-current");
  }
  document.getElementById("app-main").replaceChildren(app.screens[name]);
  app.shown = name;
};
app.begun = performance.now();
const Engine = document.body.dataset.engine === "server" ? ServerEngine : WorkerEngine;
app.engine = new Engine((state, problem) => {
  if (state === "ready") {
    app.isReady = true;
    app.state("Ready.");
    document.body.dataset.ready = String(Math.round(performance.now() - app.begun));
  } else app.state(`The program does not start in this browser: ${problem}. A current browser is needed.`);
});
app.engine.ask("start", {}).then((started) => {
  if (started.faults) return app.state(started.faults.join(" "));
  app.started = started;
  app.screens = { look_up: lookUpScreen(app), check: checkScreen(app), search: searchScreen(app) };
  for (const button of document.querySelectorAll("[data-screen]")) button.addEventListener("click", () => app.show(button.dataset.screen));
  app.show("look_up");
});
const box = document.getElementById("app-keep");
box.checked = keep.isOn();
box.addEventListener("change", () => { if (!keep.turn(box.checked)) box.checked = false; });
document.getElementById("app-forget").addEventListener("click", () => {
  keep.turn(false);
  box.checked = false;
  app.engine.ask("forget", {}).then(() => { for (const screen of Object.values(app.screens)) screen.dispatchEvent(new Event("forget")); });
});
window.addEventListener("beforeunload", (event) => { if (app.unsaved && !keep.isOn()) event.preventDefault(); });
if (document.body.dataset.engine === "worker" && "serviceWorker" in navigator && location.protocol.startsWith("http")) {
  navigator.serviceWorker.register("service.js").catch(() => keep.told("This browser does not keep the page for use without a network."));
}
