// Check a schedule: give it, see what was read and mend it, see the report, answer in place, save.
"use strict";
function checkScreen(app) {
  const { make, field, button } = dom;
  const LARGEST = 200e6;
  const given = { file: null, name: "", map: {}, answers: new Map(), outputs: null, drivers: null, project: null };
  let states = null;
  const part = (name) => make("section", { className: `app-${name}`, hidden: true });
  const [progress, reading, moved, questions, report] = ["progress", "reading", "moved", "questions", "report-part"].map(part);
  progress.setAttribute("role", "status");
  const asked = () => ({ file: given.file, map: given.map, answers: [...given.answers.values()], outputs: given.outputs, drivers: given.drivers, project: given.project });

  // One thing at a time, with what goes on, the seconds it takes, and a way to stop it.
  async function going(action, wanted) {
    const began = Date.now(), words = make("span", {}, "reading"), seconds = make("span", { className: "soft" });
    progress.replaceChildren(make("p", {}, words, " ", seconds, " ", button("Stop", () => app.engine.stop())));
    progress.hidden = false;
    const clock = setInterval(() => { seconds.textContent = `${Math.round((Date.now() - began) / 1000)} s`; }, 1000);
    const found = await app.engine.ask(action, wanted, (text) => { words.textContent = text; });
    clearInterval(clock);
    progress.hidden = !(found.faults || found.stopped);
    if (found.faults) progress.replaceChildren(dom.faults(found.faults));
    if (found.stopped) progress.replaceChildren(make("p", {}, "Stopped. Your file is still here. ", button("Judge it again", judge)));
    return found.faults || found.stopped ? null : found;
  }
  async function take(list, place, key) {
    const files = [...list];
    if (!files.length) return;
    for (const file of files) {
      if (file.size > LARGEST) {
        progress.hidden = false;
        progress.replaceChildren(dom.faults([`${file.name} has ${Math.round(file.size / 1e6)} MB; at most ${LARGEST / 1e6} MB can be read here.`]));
        return;
      }
      let bytes;
      try { bytes = new Uint8Array(await file.arrayBuffer()); } catch { progress.hidden = false; progress.replaceChildren(dom.faults([`${file.name} cannot be read from this device. Give it again.`])); return; }
      const path = await app.engine.put(place, file.name, bytes);
      if (key !== "file" || !/\.toml$/i.test(file.name) || files.length === 1) { given[key] = path; if (key === "file") given.name = file.name; }
      if (key === "drivers" || key === "outputs") keepList(key, file.name, bytes);
    }
    if (key === "file") await begin(); else if (given.file) await judge();
  }
  function keepList(key, name, bytes) {
    let text = "";
    for (const one of bytes) text += String.fromCharCode(one);
    keep.change("lists", {}, (all) => ({ ...all, [key]: { name, data: btoa(text) } }));
  }
  async function begin() {
    given.map = {};
    given.answers = new Map((keep.read("answers", {})[given.name] ?? []).map((one) => [`${one.About}|${one.Value}|${one.Circuits}`, one]));
    states = null;
    for (const one of [reading, moved, questions, report]) { one.hidden = true; one.replaceChildren(); }
    if (await read()) await judge();
  }
  async function read() {
    const found = await going("reading", asked());
    if (!found) return false;
    const options = (chosen) => [make("option", { value: "" }, "left out"), ...found.columns.map((one) => make("option", { value: one.name, selected: one.name === chosen }, one.label))];
    const rows = found.headings.map((one) => make("tr", {}, make("th", { scope: "row" }, one.heading, " ", make("span", { className: "soft small" }, one.where)),
      make("td", {}, make("select", { "aria-label": `${one.heading} is read as`, on: { change: (event) => {
        // All headings go along: what was right stays as it is.
        if (!Object.keys(given.map).length) for (const other of found.headings) given.map[other.heading] ??= other.column;
        given.map[one.heading] = event.target.value;
        mend.hidden = false;
      } } }, ...options(one.column)), one.guessed ? make("b", {}, " guessed") : null, one.why ? make("span", { className: "soft small" }, ` ${one.why}`) : null)));
    const mend = button("Read and judge again", async () => { if (await read()) await judge(); }, { hidden: true });
    const guessed = found.headings.filter((one) => one.guessed).length;
    const told = (list, text) => list.length ? make("details", { className: "folded" }, make("summary", {}, text), make("ul", {}, ...list.map((one) => make("li", {}, one)))) : null;
    dom.fill(reading, make("h2", {}, "What was read"),
      make("p", {}, `${given.name}: ${found.rows} rows, ${found.circuits} circuits${guessed ? `; ${guessed} headings guessed` : ""}${found.unread.length ? `; ${found.unread.length} words not understood` : ""}.`),
      make("details", { className: "folded", open: guessed > 0 }, make("summary", {}, "Headings, and mend them"), make("table", { className: "app-headings" }, make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "Heading"), make("th", { scope: "col" }, "Read as"))), make("tbody", {}, ...rows))),
      told(found.unread.map((one) => `${one.text} (${one.heading}, ${one.where}, ${one.count} cells): ${one.what}`), "Not understood"),
      told(found.rows_left_out.map((one) => `${one.where} ${one.text}: the row ${one.why}`), "Rows left out"), told(found.notes, "Notes"), mend);
    reading.hidden = false;
    return true;
  }
  async function judge() {
    const found = await going("check", asked());
    if (!found) return;
    if (states) tellMoved(states, found.states);
    states = found.states;
    showQuestions(found.questions);
    showReport(found);
  }
  function tellMoved(before, now) {
    const changed = Object.keys(now).filter((name) => before[name] && before[name] !== now[name]);
    dom.fill(moved, make("h2", {}, "What moved"), changed.length
      ? make("ul", {}, ...changed.map((name) => make("li", {}, make("b", {}, name), `: from ${before[name]} to ${now[name]}`)))
      : make("p", {}, "No verdict moved."));
    moved.hidden = false;
  }
  const rejudge = dom.later(judge, 700);
  function showQuestions(groups) {
    const active = questions.contains(document.activeElement) ? document.activeElement : null;
    const typed = active?.dataset.key ? { key: active.dataset.key, value: active.value } : null;
    const open = new Set([...questions.querySelectorAll("details[open]")].map((one) => one.dataset.title));
    const shown = groups.map((group) => make("details", { className: "folded", open: open.has(group.title), "data-title": group.title }, make("summary", {}, `${group.title} (${group.asked.length})`),
      ...group.asked.map(({ told, words }) => question(told, words))));
    const answered = [...given.answers.values()].map((one) => make("li", {}, `${one.About} ${one.Question?.split(":")[0] ?? one.Value}: ${one.Answer} `, button("Take back", () => { given.answers.delete(`${one.About}|${one.Value}|${one.Circuits}`); kept(); judge(); })));
    dom.fill(questions, make("h2", {}, "Answer what you know"), make("p", { className: "soft" }, "Each answer judges the schedule again."),
      answered.length ? make("ul", { className: "app-answered" }, ...answered) : null, ...shown);
    questions.hidden = !groups.length && !answered.length;
    // What is being typed stays, with the cursor in it.
    const same = typed && questions.querySelector(`[data-key="${CSS.escape(typed.key)}"]`);
    if (same) { same.value = typed.value; same.focus(); }
  }
  function question(told, words) {
    const key = `${told.About}|${told.Value}|${told.Circuits}`;
    const change = (event) => {
      const text = event.target.value.trim();
      if (text) given.answers.set(key, { ...told, Answer: text }); else given.answers.delete(key);
      kept();
      rejudge();
    };
    const input = words.length ? make("select", { on: { change } }, make("option", { value: "" }, "not known"), ...words.map((word) => make("option", { value: word }, word)))
      : make("input", { type: "text", autocomplete: "off", on: { change } });
    input.dataset.key = key;
    const hint = [told.Unit && `in ${told.Unit}`, told["Taken until then"] && `taken until then: ${told["Taken until then"]}`, told["What it decides"], told["Where the answer stands"]].filter(Boolean).join("; ");
    return field(`${told.Question} (${told.Circuits})`, input, hint);
  }
  function kept() {
    app.unsaved = given.answers.size > 0 || Object.keys(given.map).length > 0;
    keep.change("answers", {}, (all) => ({ ...all, [given.name]: [...given.answers.values()] }));
  }
  function showReport(found) {
    const saves = [["xlsx", "Workbook"], ["json", "JSON"], ["html", "Page"], ["questions", "Questions"], ...(app.started.pdf ? [["pdf", "PDF"]] : [])];
    const earlier = make("input", { type: "file", id: "app-earlier" });
    const compared = make("div", { "aria-live": "polite" });
    earlier.addEventListener("change", async () => {
      const [file] = earlier.files;
      if (!file) return;
      const path = await app.engine.put("earlier", file.name, new Uint8Array(await file.arrayBuffer()));
      const told = await going("since", { ...asked(), earlier: path });
      if (told) compared.replaceChildren(make("pre", { className: "app-text", tabIndex: 0 }, told.text));
    });
    dom.fill(report, make("h2", {}, "Save"), make("p", { className: "app-row" },
      ...saves.map(([form, text]) => button(text, async () => { const file = await going("save", { ...asked(), form }); if (file) { dom.save(file.name, file.data); app.unsaved = false; } })),
      app.started.pdf ? null : button("Print or save as PDF", () => window.print())),
    field("Compare with an earlier schedule or report", earlier), compared, dom.report(found.html));
    report.hidden = false;
    // The filters of the report, which look for what has just been put in.
    report.append(make("script", { src: "report.js" }));
  }
  const chooser = make("input", { type: "file", multiple: true, id: "app-file", on: { change: () => take(chooser.files, "schedule", "file") } });
  const own = ["outputs", "drivers", "project"].map((key) => {
    const input = make("input", { type: "file", on: { change: () => take(input.files, key, key) } });
    return field({ outputs: "Outputs on offer", drivers: "Drivers", project: "Project file" }[key], input);
  });
  const drop = make("div", { className: "app-drop" }, make("label", { htmlFor: "app-file" }, "Drop a schedule here, or choose it"), chooser,
    make("span", { className: "soft small" }, "XLSX, XLS, ODS, CSV or JSON; a project file of its name may come with it."));
  drop.addEventListener("dragover", (event) => { event.preventDefault(); drop.classList.add("over"); });
  drop.addEventListener("dragleave", () => drop.classList.remove("over"));
  drop.addEventListener("drop", (event) => { event.preventDefault(); drop.classList.remove("over"); take(event.dataTransfer.files, "schedule", "file"); });
  const screen = make("div", { className: "page app-screen" }, make("h1", {}, "Check a schedule"), drop, make("p", { className: "app-row" },
    button("Try the invented demo house", async () => { const demo = await going("demo", {}); if (demo) { given.file = demo.file; given.name = demo.name; await begin(); } }),
    button("Empty schedule to fill in", async () => { const file = await going("template", {}); if (file) dom.save(file.name, file.data); })),
  make("details", { className: "folded" }, make("summary", {}, "Your own equipment and project"), make("div", { className: "app-form" }, ...own)),
  progress, reading, moved, questions, report);
  screen.addEventListener("forget", () => { for (const one of [reading, moved, questions, report]) { one.hidden = true; one.replaceChildren(); } given.file = null; given.answers.clear(); app.unsaved = false; });
  for (const [key, { name, data }] of Object.entries(keep.read("lists", {}))) {
    app.engine.put(key, name, Uint8Array.from(atob(data), (one) => one.charCodeAt(0))).then((path) => { given[key] = path; });
  }
  return screen;
}
