// Small helpers of all screens. Text goes in as text; only a report, which the program has escaped, goes in as HTML.
"use strict";
const dom = {
  make(tag, given = {}, ...inside) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(given)) {
      if (name === "on") for (const [event, act] of Object.entries(value)) made.addEventListener(event, act);
      else if (name in made && name !== "list" && name !== "form") made[name] = value;
      else made.setAttribute(name, value);
    }
    made.append(...inside.filter((one) => one !== null && one !== undefined));
    return made;
  },
  fill(place, ...inside) { place.replaceChildren(...inside.filter((one) => one !== null && one !== undefined)); },
  // A field with its label above it; `hint` is an example.
  field(label, input, hint) {
    input.id = input.id || `app-${dom.count++}`;
    return dom.make("div", { className: "app-field" }, dom.make("label", { htmlFor: input.id }, label), input,
      hint ? dom.make("span", { className: "soft small" }, hint) : null);
  },
  button(text, act, given = {}) {
    return dom.make("button", { type: "button", on: { click: act }, ...given }, text);
  },
  faults(told) {
    return dom.make("div", { className: "app-faults", role: "alert" }, ...told.map((text) => dom.make("p", {}, text)));
  },
  report(html) {
    const made = dom.make("div", { className: "app-report" });
    made.innerHTML = html;
    // What is wider than a phone scrolls by itself, with the keyboard too.
    for (const table of made.querySelectorAll("table.grid")) {
      const frame = dom.make("div", { className: "app-wide", tabIndex: 0, role: "region", "aria-label": "Table of breakers" });
      table.replaceWith(frame);
      frame.append(table);
    }
    return made;
  },
  save(name, base64) {
    const bytes = Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));
    const address = URL.createObjectURL(new Blob([bytes]));
    dom.make("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  },
  // Calls at most once in `wait` ms, with the last of what it was called with.
  later(act, wait) {
    let timer = 0;
    return (...given) => { clearTimeout(timer); timer = setTimeout(() => act(...given), wait); };
  },
  count: 1,
};
