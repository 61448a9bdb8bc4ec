// SPDX-License-Identifier: MIT
// What if the criteria were weighed differently? Sliders for the weights; what choice.js chooses anew
// under them is held against the run's sites. At the plan's weights the sites are the run's. ASCII
// only.
(function () {
  "use strict";
  var holder = document.getElementById("candidates");
  var section = document.getElementById("weights");
  if (!holder || !section) return;
  var data = JSON.parse(holder.textContent), chooser = chooserOf(data), sites = chooser.sites;
  var NS = "http://www.w3.org/2000/svg";
  var planned = data.criteria.map(function (criterion) { return criterion.weight; });
  var weights = planned.slice();

  // --- what changes ---

  function nearest(site, free) {
    var best = null, least = data.apart / 2;
    free.forEach(function (candidate) {
      var distance = chooser.apart(candidate, site);
      if (distance < least) {
        best = candidate;
        least = distance;
      }
    });
    return best && { to: best, metres: least };
  }

  function among(list) {
    var places = {};
    list.forEach(function (candidate, i) { places[candidate.index] = i + 1; });
    return places;
  }

  function asRun() {
    return sites.map(function (site) { return { site: site, kind: "stays", then: site.rank }; });
  }

  // What becomes of a site that is not chosen: it moves where a place near it comes in.
  function leave(site, then, free) {
    var moved = nearest(site, free);
    if (!moved) return { site: site, kind: "out", then: 0 };
    free.splice(free.indexOf(moved.to), 1);
    return { site: site, kind: "moves", to: moved.to, metres: moved.metres,
      then: then[moved.to.index] };
  }

  // Every site of the run with what becomes of it, then the places that come in.
  function compare(chosen) {
    var then = among(chosen);
    var free = chosen.filter(function (candidate) { return candidate.rank === 0; });
    var rows = sites.map(function (site) {
      var stays = then[site.index];
      return stays ? { site: site, kind: "stays", then: stays } : leave(site, then, free);
    });
    return rows.concat(free.map(function (candidate) {
      return { to: candidate, kind: "in", then: then[candidate.index] };
    }));
  }

  // --- showing it ---

  function words(row) {
    if (row.kind === "stays") return row.then === row.site.rank ? "stays" : "stays, other rank";
    if (row.kind === "moves") return "moves by " + Math.round(row.metres) + " m";
    return row.kind === "out" ? "drops out" : "comes in";
  }

  function cell(line, name, text, className) {
    var made = document.createElement(name);
    if (className) made.className = className;
    made.textContent = text;
    line.appendChild(made);
    return made;
  }

  function showTable(rows, scores) {
    var body = section.querySelector("tbody");
    while (body.firstChild) body.removeChild(body.firstChild);
    rows.forEach(function (row) {
      var place = row.to || row.site, line = document.createElement("tr");
      line.className = "change-" + row.kind;
      var head = cell(line, "th", "");
      head.setAttribute("scope", "row");
      if (row.site) {
        var link = document.createElement("a");
        link.href = "#site-" + row.site.rank;
        link.textContent = "site of rank " + row.site.rank;
        head.appendChild(link);
      } else {
        head.textContent = "new place";
      }
      var pair = cell(line, "td", "");
      var name = document.createElement("bdi");
      name.textContent = data.pairs[place.groups[0]] || "";
      pair.appendChild(name);
      cell(line, "td", row.site ? String(row.site.rank) : "", "n");
      cell(line, "td", row.then ? String(row.then) : "", "n");
      cell(line, "td", scores[place.index].toFixed(3), "n");
      cell(line, "td", words(row));
      body.appendChild(line);
    });
  }

  function svg(name, attributes, parent) {
    var made = document.createElementNS(NS, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    parent.appendChild(made);
    return made;
  }

  function diamond(group, row, map) {
    var scale = Number(map.dataset.scale);
    var x = (data.x + row.to.x / data.metres - Number(map.dataset.west)) * scale;
    var y = (Number(map.dataset.north) - (data.y - row.to.y / data.metres)) * scale;
    var mark = svg("g", { "class": "steady new-place", "data-x": x.toFixed(2),
      "data-y": y.toFixed(2) }, group);
    svg("title", {}, mark).textContent = "Under these weights: rank " + row.then;
    svg("path", { d: "M0 -13L13 0L0 13L-13 0Z", fill: "#ffffff", stroke: "#1f66b0",
      "stroke-width": 2.5 }, mark);
    svg("text", { y: 4, "font-size": 10.5, "font-weight": 700, "text-anchor": "middle",
      fill: "#1f4c80" }, mark).textContent = row.then;
  }

  function cross(group, row) {
    var mark = document.querySelector(".mark.primary[data-rank='" + row.site.rank + "'] .steady");
    if (!mark) return;
    var made = svg("g", { "class": "steady gone", "data-x": mark.dataset.x,
      "data-y": mark.dataset.y }, group);
    svg("path", { d: "M-10 -10L10 10M-10 10L10 -10", stroke: "#ffffff", "stroke-width": 5 }, made);
    svg("path", { d: "M-10 -10L10 10M-10 10L10 -10", stroke: "#22242e", "stroke-width": 2.5 }, made);
  }

  function showMap(rows) {
    var map = document.getElementById("overview"), ground = document.getElementById("ground");
    if (!map || !ground) return;
    var group = document.getElementById("what-if");
    if (group) group.remove();
    if (rows.every(function (row) { return row.kind === "stays"; })) return;
    group = svg("g", { id: "what-if", "pointer-events": "none" }, ground);
    rows.forEach(function (row) {
      if (row.kind === "out" || row.kind === "moves") cross(group, row);
      if (row.to) diamond(group, row, map);
    });
    document.dispatchEvent(new Event("marks-changed"));
  }

  function count(rows, kind) {
    return rows.filter(function (row) { return row.kind === kind; }).length;
  }

  function told(number, one, more) {
    return number + (number === 1 ? one : more);
  }

  function summary(rows, planned, missed) {
    var text = "At the plan's weights: the sites of the run.";
    if (!planned) {
      text = "Chosen anew: of " + told(sites.length, " site ", " sites ") +
        told(count(rows, "stays"), " stays, ", " stay, ") +
        told(count(rows, "moves"), " moves a little, ", " move a little, ") +
        told(count(rows, "out"), " drops out, ", " drop out, ") +
        told(count(rows, "in"), " new place comes in.", " new places come in.");
      if (missed > 0) {
        text += " This choice misses " + told(missed, " site", " sites") +
          " that least numbers ask for.";
      }
    }
    document.getElementById("weights-summary").textContent = text;
  }

  function update() {
    var list = chooser.normal(weights), scores = chooser.scoresUnder(list);
    var same = chooser.asPlanned(list), chosen = same ? null : chooser.chooseUnder(scores);
    var rows = same ? asRun() : compare(chosen.sites);
    list.forEach(function (weight, i) {
      document.getElementById("weight-" + i + "-share").textContent =
        Math.round(100 * weight) + "\u00a0%";
    });
    summary(rows, same, same ? 0 : chosen.missing);
    showTable(rows, scores);
    showMap(rows);
  }

  function slider(i) {
    return document.getElementById("weight-" + i);
  }

  planned.forEach(function (weight, i) {
    slider(i).addEventListener("input", function () {
      weights[i] = Number(slider(i).value) / 100;
      update();
    });
  });
  document.getElementById("weights-reset").addEventListener("click", function () {
    weights = planned.slice();
    planned.forEach(function (weight, i) { slider(i).value = Math.round(100 * weight); });
    update();
  });
  section.hidden = false;
  update();
})();
