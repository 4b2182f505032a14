(function () {
  var filters = document.getElementById("filters");
  var told = document.getElementById("told");
  var fields = ["state", "room", "rule"].map(function (name) { return document.getElementById("by-" + name); });
  var entries = Array.prototype.slice.call(document.querySelectorAll("[data-state]"));
  function show() {
    var wanted = fields.map(function (field) { return field.value; });
    var count = 0;
    entries.forEach(function (entry) {
      var data = entry.dataset;
      var found = (!wanted[0] || data.state === wanted[0]) && (!wanted[1] || data.room === wanted[1]) &&
        (!wanted[2] || data.rules.split(" ").indexOf(wanted[2]) >= 0);
      entry.hidden = !found;
      count += found ? 1 : 0;
    });
    told.textContent = count + " of " + entries.length;
  }
  function open() {
    var entry = location.hash && document.getElementById(location.hash.slice(1));
    if (entry && entry.tagName === "DETAILS") {
      if (entry.hidden) { fields.forEach(function (field) { field.value = ""; }); show(); }
      entry.open = true;
      entry.scrollIntoView();
    }
  }
  filters.hidden = entries.length < 2;
  fields.forEach(function (field) { field.addEventListener("change", show); });
  window.addEventListener("hashchange", open);
  show();
  open();
})();
