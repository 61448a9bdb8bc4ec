// SPDX-License-Identifier: MIT
// What if the criteria were weighed differently? Chooses anew among the candidates that the page
// holds: best first, with the least distance, the traps that stand already and the quotas per pair,
// as the run's own first choice does. The run went on from there by exchanges, which the page does
// not; so its choice under other weights is held against its choice under the plan's, never against
// the run's, and only what differs between these two is shown as a change. At the plan's weights the
// sites are the run's. ASCII only.
(function () {
  "use strict";
  var holder = document.getElementById("candidates");
  var section = document.getElementById("weights");
  if (!holder || !section) return;
  var data = JSON.parse(holder.textContent);
  var NS = "http://www.w3.org/2000/svg";
  var planned = data.criteria.map(function (criterion) { return criterion.weight; });
  var weights = planned.slice();
  var candidates = data.candidates.map(function (row, index) {
    return { index: index, x: row[0] * data.metres, y: row[1] * data.metres, pair: row[2],
      score: row[3], rank: row[4], worth: row.slice(5) };
  });
  var open = candidates.filter(function (candidate) {
    return !data.occupied.some(function (place) {
      return Math.hypot(candidate.x - place[0] * data.metres,
        candidate.y - place[1] * data.metres) < data.apart;
    });
  });

  // --- scores ---

  function normal(list) {
    var sum = list.reduce(function (total, weight) { return total + weight; }, 0);
    return sum > 0 ? list.map(function (weight) { return weight / sum; }) : planned.slice();
  }

  function asPlanned(list) {
    return list.every(function (weight, i) { return Math.abs(weight - planned[i]) < 1e-9; });
  }

  function mean(worth, list) {
    var total = 0;
    for (var i = 0; i < list.length; i++) {
      if (list[i] > 0) total += list[i] * (data.geometric ? Math.log(worth[i]) : worth[i]);
    }
    return data.geometric ? Math.exp(total) : total;
  }

  // The run's own scores where the weights are the plan's, so that nothing is lost by rounding.
  function scoresUnder(list) {
    if (asPlanned(list)) return candidates.map(function (candidate) { return candidate.score; });
    return candidates.map(function (candidate) {
      return Math.round(mean(candidate.worth, list) * 1e9) / 1e9;
    });
  }

  // --- choice ---

  function near(chosen, candidate) {
    return chosen.some(function (other) {
      return Math.hypot(other.x - candidate.x, other.y - candidate.y) < data.apart;
    });
  }

  function sweep(order, state, pair, most) {
    for (var i = 0; i < order.length && state.chosen.length < data.wanted; i++) {
      var candidate = order[i], taken = state.taken[candidate.pair] || 0;
      if (state.has[candidate.index] || (pair !== null && candidate.pair !== pair) ||
          (most > 0 && taken >= most) || near(state.chosen, candidate)) continue;
      state.chosen.push(candidate);
      state.has[candidate.index] = true;
      state.taken[candidate.pair] = taken + 1;
    }
  }

  function emptyState() {
    return { chosen: [], has: {}, taken: {} };
  }

  // Pairs that come out short of the least number are served first, until no new one does.
  function meetMinimum(order) {
    var front = [], state = emptyState();
    var pairs = Object.keys(open.reduce(function (found, candidate) {
      found[candidate.pair] = true;
      return found;
    }, {})).map(Number).sort(function (a, b) { return a - b; });
    for (;;) {
      state = emptyState();
      front.forEach(function (pair) { sweep(order, state, pair, data.pairMin); });
      sweep(order, state, null, data.pairMin);
      var lacking = pairs.filter(function (pair) {
        return (state.taken[pair] || 0) < data.pairMin;
      });
      var fresh = lacking.filter(function (pair) { return front.indexOf(pair) < 0; });
      if (fresh.length === 0) return state;
      fresh.forEach(function (pair) { front.unshift(pair); });
    }
  }

  function chooseUnder(scores) {
    var order = open.slice().sort(function (a, b) {
      return scores[b.index] - scores[a.index] || a.index - b.index;
    });
    var state = data.pairMin > 0 ? meetMinimum(order) : emptyState();
    sweep(order, state, null, data.pairMax);
    return state.chosen.sort(function (a, b) {
      return scores[b.index] - scores[a.index] || a.index - b.index;
    });
  }

  // --- what changes ---

  var sites = candidates.filter(function (candidate) { return candidate.rank > 0; })
    .sort(function (a, b) { return a.rank - b.rank; });

  function nearest(site, free) {
    var best = null, least = data.apart / 2;
    free.forEach(function (candidate) {
      var distance = Math.hypot(candidate.x - site.x, candidate.y - site.y);
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

  // The page's own choice at the plan's weights, which a choice at others is held against.
  var before = among(chooseUnder(scoresUnder(planned)));

  function asRun() {
    return sites.map(function (site) { return { site: site, kind: "stays", then: site.rank }; });
  }

  // What becomes of a site that the page's choice would take at the plan's weights, not at these.
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
    var free = chosen.filter(function (candidate) {
      return candidate.rank === 0 && !before[candidate.index];
    });
    var rows = sites.map(function (site) {
      if (then[site.index]) return { site: site, kind: "stays", then: then[site.index] };
      if (!before[site.index]) return { site: site, kind: "untold", then: 0 };
      return leave(site, then, free);
    });
    return rows.concat(free.map(function (candidate) {
      return { to: candidate, kind: "in", then: then[candidate.index] };
    }));
  }

  // --- showing it ---

  function words(row) {
    if (row.kind === "stays") return row.then === row.site.rank ? "stays" : "stays, other rank";
    if (row.kind === "moves") return "moves by " + Math.round(row.metres) + " m";
    if (row.kind === "untold") return "cannot be told here";
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
      name.textContent = data.pairs[place.pair] || "";
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
    if (rows.every(function (row) { return row.kind === "stays" || row.kind === "untold"; })) return;
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

  function places(number, verb) {
    return number + (number === 1 ? " new place comes " : " new places come ") + verb;
  }

  function summary(rows, planned) {
    var untold = count(rows, "untold"), text = "At the plan's weights: the sites of the run.";
    if (!planned) {
      text = "By a simple choice, best first: " + count(rows, "stays") + " of " + sites.length +
        " sites stay, " + count(rows, "moves") + " move a little, " + count(rows, "out") +
        " drop out, " + places(count(rows, "in"), "in.");
      if (untold > 0) {
        text += " For " + untold + " this cannot be told: the run found a better choice with them " +
          "than the simple one, which takes other places even at the plan's weights.";
      }
    }
    document.getElementById("weights-summary").textContent = text;
  }

  function update() {
    var list = normal(weights), scores = scoresUnder(list), same = asPlanned(list);
    var rows = same ? asRun() : compare(chooseUnder(scores));
    list.forEach(function (weight, i) {
      document.getElementById("weight-" + i + "-share").textContent =
        Math.round(100 * weight) + "\u00a0%";
    });
    summary(rows, same);
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
