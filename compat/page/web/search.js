// Search: rules, drivers, outputs and sources by words.
"use strict";
function searchScreen(app) {
  const { make, field, button } = dom;
  const kinds = [["rules", "Rules"], ["drivers", "Drivers"], ["outputs", "Outputs"], ["sources", "Sources"]];
  const kind = make("select", {}, ...kinds.map(([value, text]) => make("option", { value }, text)));
  const words = make("input", { type: "search", autocomplete: "off" });
  const found = make("div", { "aria-live": "polite" });
  const answer = make("div", { className: "app-answer" });
  let asked = 0;
  async function find() {
    const mine = ++asked;
    const told = await app.engine.ask("find", { kind: kind.value, words: words.value });
    if (mine !== asked) return;
    const entries = told.found.map((one) => make("li", {}, kind.value === "sources" ? `${one.id} ${one.name}` : button(`${one.id} ${one.name}`, () => open(kind.value, one.id))));
    found.replaceChildren(make("p", { className: "soft" }, `${told.count} found${told.count > entries.length ? `; the first ${entries.length}` : ""}`), make("ul", { className: "app-found" }, ...entries));
  }
  async function open(what, id) {
    const told = what === "rules" ? await app.engine.ask("rule", { rule: id })
      : what === "outputs" ? await app.engine.ask("output", { output: id })
        : await app.engine.ask("lookup", { driver: id, stated: {} });
    answer.replaceChildren(told.faults ? dom.faults(told.faults) : told.text ? make("pre", { className: "app-text", tabIndex: 0 }, told.text) : dom.report(told.html));
    answer.scrollIntoView();
  }
  words.addEventListener("input", dom.later(find, 200));
  kind.addEventListener("change", find);
  const screen = make("div", { className: "page app-screen" }, make("h1", {}, "Search"),
    make("div", { className: "app-form" }, field("What", kind), field("Words", words, "such as inrush, DALI, 0-10 V")), found, answer);
  find();
  return screen;
}
