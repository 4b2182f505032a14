// Look up a driver by what stands on its label, or an output: the answer as they type.
"use strict";
function lookUpScreen(app) {
  const { make, field, button } = dom;
  const answer = make("div", { className: "app-answer", "aria-live": "polite" });
  const inputs = new Map(app.started.fields.map((one) => [one.option,
    make("input", { type: "text", inputMode: one.keys, autocomplete: "off", placeholder: "not known" })]));
  const driver = make("input", { type: "text", autocomplete: "off", placeholder: "not known" });
  const count = make("input", { type: "number", min: 1, max: 1000, inputMode: "numeric" });
  const outputs = () => app.started.outputs.map((one) => make("option", { value: one.id }, `${one.name} (${one.id})`));
  const toHand = make("select", {}, make("option", { value: "" }, "any"), ...outputs());
  const output = make("select", {}, make("option", { value: "" }, "choose one"), ...outputs());
  const last = make("ul", { className: "app-last" });
  let asked = 0;

  async function look() {
    const stated = Object.fromEntries([...inputs].map(([name, input]) => [name, input.value.trim()]).filter(([, text]) => text));
    const wanted = { stated, driver: driver.value.trim(), count: Number(count.value) || null, to_hand: toHand.value };
    if (!Object.keys(stated).length && !wanted.driver) { answer.replaceChildren(); return; }
    const mine = ++asked;
    answer.setAttribute("aria-busy", "true");
    const found = await app.engine.ask("lookup", wanted);
    if (mine !== asked) return;
    answer.removeAttribute("aria-busy");
    if (found.faults) { answer.replaceChildren(dom.faults(found.faults)); return; }
    const first = found.to_hand;
    answer.replaceChildren(...(first ? [make("div", { className: "app-first" }, make("h2", {}, "On what is to hand"),
      make("p", { className: "lead" }, `${first.name}: `, make("b", {}, first.takes)), make("p", {}, first.because))] : []), dom.report(found.html));
    kept(wanted, found.name);
  }
  const kept = dom.later((wanted, name) => {
    const words = [wanted.driver || null, ...Object.values(wanted.stated)].filter(Boolean).join(", ");
    keep.change("look-ups", [], (all) => [{ wanted, words }, ...all.filter((one) => one.words !== words)].slice(0, 8));
    listLast();
  }, 1500);
  function listLast() {
    last.replaceChildren(...keep.read("look-ups", []).map((one) => make("li", {}, button(one.words, () => {
      for (const [name, input] of inputs) input.value = one.wanted.stated[name] ?? "";
      driver.value = one.wanted.driver ?? "";
      count.value = one.wanted.count ?? "";
      toHand.value = one.wanted.to_hand ?? "";
      look();
    }))));
    last.previousSibling && (last.previousSibling.hidden = !last.children.length);
  }
  const soon = dom.later(look, 250);
  for (const input of [...inputs.values(), driver, count, toHand]) input.addEventListener("input", soon);
  output.addEventListener("change", async () => {
    if (!output.value) return answer.replaceChildren();
    ++asked;
    answer.setAttribute("aria-busy", "true");
    const found = await app.engine.ask("output", { output: output.value });
    answer.removeAttribute("aria-busy");
    answer.replaceChildren(found.faults ? dom.faults(found.faults) : dom.report(found.html));
  });
  const byDriver = make("div", { className: "app-form" },
    ...app.started.fields.map((one) => field(one.label, inputs.get(one.option), `such as ${one.example}`)),
    field("Generic driver", driver, "an id or words, such as D0002"), field("How many", count, "such as 8"), field("What is to hand", toHand));
  const byOutput = make("div", { className: "app-form" }, field("Output", output));
  byOutput.hidden = true;
  const by = (choice) => { byDriver.hidden = choice !== "driver"; byOutput.hidden = choice !== "output"; answer.replaceChildren(); };
  const choose = (value, text) => make("label", {}, make("input", { type: "radio", name: "app-by", value, checked: value === "driver", on: { change: () => by(value) } }), ` ${text}`);
  const screen = make("div", { className: "page app-screen" }, make("h1", {}, "Look up"),
    make("p", { className: "soft" }, "Write what stands on the label; leave out what does not."),
    make("fieldset", { className: "app-choice" }, make("legend", {}, "By"), choose("driver", "driver"), choose("output", "output")),
    byDriver, byOutput, answer, make("h2", {}, "Your last ones"), last);
  screen.addEventListener("forget", listLast);
  listLast();
  return screen;
}
