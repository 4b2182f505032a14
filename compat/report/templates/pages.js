
(function () {
  var search = document.getElementById("search");
  var field = document.getElementById("words");
  var told = document.getElementById("told");
  var entries = Array.prototype.slice.call(document.querySelectorAll(".entry"));
  var texts = entries.map(function (entry) { return entry.textContent.toLowerCase(); });
  var sections = Array.prototype.slice.call(document.querySelectorAll("main > section"));
  function show() {
    var words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    var count = 0;
    entries.forEach(function (entry, number) {
      var found = words.every(function (word) { return texts[number].indexOf(word) >= 0; });
      entry.hidden = !found;
      count += found ? 1 : 0;
    });
    sections.forEach(function (section) {
      section.hidden = !section.querySelector(".entry:not([hidden])");
    });
    told.textContent = words.length ? count + " of " + entries.length : "";
  }
  function open() {
    var entry = location.hash && document.getElementById(location.hash.slice(1));
    if (entry && entry.tagName === "DETAILS") {
      if (entry.hidden) { field.value = ""; show(); }
      entry.open = true;
      entry.scrollIntoView();
    }
  }
  search.hidden = false;
  field.addEventListener("input", show);
  window.addEventListener("hashchange", open);
  show();
  open();
})();
