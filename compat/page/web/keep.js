// What is kept on the device, only if the person says so. A device that keeps nothing is told once, and nothing
// else is lost: what is on the screen stays.
"use strict";
const keep = {
  ON: "compat-keep",
  NAMES: ["compat-keep", "compat-look-ups", "compat-answers", "compat-lists"],
  told(text) { document.getElementById("app-kept").textContent = text; },
  isOn() { try { return localStorage.getItem(keep.ON) === "yes"; } catch { return false; } },
  turn(on) {
    try {
      if (on) localStorage.setItem(keep.ON, "yes"); else keep.NAMES.forEach((name) => localStorage.removeItem(name));
      keep.told(on ? "Kept on this device from now on." : "Nothing is kept on this device.");
      return true;
    } catch { keep.told("This device does not let the page keep anything. Nothing on the screen is lost."); return false; }
  },
  read(name, otherwise) {
    try { return JSON.parse(localStorage.getItem(`compat-${name}`)) ?? otherwise; } catch { return otherwise; }
  },
  // Another tab may have written since: the change is made to what lies there now.
  change(name, otherwise, change) {
    if (!keep.isOn()) return;
    try { localStorage.setItem(`compat-${name}`, JSON.stringify(change(keep.read(name, otherwise)))); }
    catch { keep.told("The device has no room left for this; it is not kept, and nothing on the screen is lost."); }
  },
};
