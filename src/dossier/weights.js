// SPDX-License-Identifier: MIT
// What if the criteria were weighed differently? Chooses anew among the candidates that the page
// holds: best first, with the least distance, the traps that stand already, the quotas per pair and
// per block and even spread, as the run's own first choice does (src/choose/greedy.c). The run went
// on from there by exchanges, which the page does not; so its choice under other weights is held
// against its choice under the plan's, never against the run's, and only what differs between these
// two is shown as a change. At the plan's weights the sites are the run's. ASCII only.
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
    return { index: index, x: row[0] * data.metres, y: row[1] * data.metres,
      groups: row.slice(2, 4), score: row[4], rank: row[5], worth: row.slice(6) };
  });
  var open = candidates.filter(function (candidate) {
    return !data.occupied.some(function (place) {
      var standing = { x: place[0] * data.metres, y: place[1] * data.metres };
      return apart(candidate, standing) < data.apart;
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

  function apart(a, b) {
    var x = a.x - b.x, y = a.y - b.y;
    return Math.sqrt(x * x + y * y); // Math.hypot is many times slower
  }

  function emptyState() {
    return { chosen: [], has: {}, taken: [{}, {}] };
  }

  function taken(state, kind, group) {
    return state.taken[kind][group] || 0;
  }

  function take(state, candidate) {
    state.chosen.push(candidate);
    state.has[candidate.index] = true;
    candidate.groups.forEach(function (group, kind) {
      state.taken[kind][group] = taken(state, kind, group) + 1;
    });
  }

  // Whether the quotas allow one more; who is in no group is counted by none.
  function hasRoom(state, candidate) {
    return !state.has[candidate.index] && candidate.groups.every(function (group, kind) {
      var most = data.quotas[kind].most;
      return group < 0 || most === 0 || taken(state, kind, group) < most;
    });
  }

  // How many sites a group lacks.
  function lack(state, kind, group) {
    return group < 0 ? 0 : Math.max(0, data.quotas[kind].least - taken(state, kind, group));
  }

  // Best first, whatever is wanted as sites stand now, keeps apart and has room.
  function sweep(order, state, isWanted) {
    function isTooNear(candidate) {
      return state.chosen.some(function (other) { return apart(other, candidate) < data.apart; });
    }
    for (var i = 0; i < order.length && state.chosen.length < data.wanted; i++) {
      var candidate = order[i];
      if (isWanted(candidate) && hasRoom(state, candidate) && !isTooNear(candidate)) {
        take(state, candidate);
      }
    }
  }

  // Every group that a least number can ask for, pairs before blocks, by number.
  var groups = [0, 1].reduce(function (list, kind) {
    var met = {};
    open.forEach(function (candidate) { met[candidate.groups[kind]] = true; });
    return list.concat(Object.keys(met).map(Number).sort(function (a, b) { return a - b; })
      .map(function (group) { return { kind: kind, group: group }; }));
  }, []);

  function missing(state) {
    return groups.reduce(function (sum, one) { return sum + lack(state, one.kind, one.group); }, 0);
  }

  // Groups that come out short of the least number are served first, until no new one does.
  function meetMinimums(order) {
    var front = [], state, fresh;
    function serve(one) {
      sweep(order, state, function (candidate) {
        return candidate.groups[one.kind] === one.group && lack(state, one.kind, one.group) > 0;
      });
    }
    do {
      state = emptyState();
      front.forEach(serve);
      sweep(order, state, function (candidate) {
        return candidate.groups.some(function (group, kind) { return lack(state, kind, group) > 0; });
      });
      fresh = groups.filter(function (one) {
        return lack(state, one.kind, one.group) > 0 && front.indexOf(one) < 0;
      });
      fresh.forEach(function (one) { front.unshift(one); });
    } while (fresh.length > 0);
    return state;
  }

  // Time and again the candidate that adds most by its score and its distance to the nearest site.
  function fillEvenly(order, scores, state) {
    var near = order.map(function () { return Infinity; }), best;
    function lookAt(site) {
      order.forEach(function (candidate, i) { near[i] = Math.min(near[i], apart(candidate, site)); });
    }
    function part(i) {
      var even = near[i] < data.even ? near[i] / data.even : 1;
      return (1 - data.spread) * scores[order[i].index] + data.spread * even;
    }
    function findMost() {
      var most = -Infinity, at = -1;
      for (var i = 0; i < order.length; i++) {
        if (near[i] < data.apart || part(i) <= most || !hasRoom(state, order[i])) continue;
        most = part(i);
        at = i;
      }
      return at;
    }
    state.chosen.forEach(lookAt);
    while (state.chosen.length < data.wanted && (best = findMost()) >= 0) {
      take(state, order[best]);
      lookAt(order[best]);
    }
  }

  // By score, then from north to south, from west to east, by pair.
  function sorted(list, scores) {
    return list.slice().sort(function (a, b) {
      return scores[b.index] - scores[a.index] || a.y - b.y || a.x - b.x || a.groups[0] - b.groups[0];
    });
  }

  function chooseUnder(scores) {
    var order = sorted(open, scores), state = meetMinimums(order);
    if (data.spread > 0) fillEvenly(order, scores, state);
    else sweep(order, state, function () { return true; });
    return { sites: sorted(state.chosen, scores), missing: missing(state) };
  }

  // --- what changes ---

  var sites = candidates.filter(function (candidate) { return candidate.rank > 0; })
    .sort(function (a, b) { return a.rank - b.rank; });

  function nearest(site, free) {
    var best = null, least = data.apart / 2;
    free.forEach(function (candidate) {
      var distance = apart(candidate, site);
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
  var before = among(chooseUnder(scoresUnder(planned)).sites);

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

  function told(number, one, more) {
    return number + (number === 1 ? one : more);
  }

  function summary(rows, planned, missed) {
    var untold = count(rows, "untold"), text = "At the plan's weights: the sites of the run.";
    if (!planned) {
      text = "By a simple choice: of " + told(sites.length, " site ", " sites ") +
        told(count(rows, "stays"), " stays, ", " stay, ") +
        told(count(rows, "moves"), " moves a little, ", " move a little, ") +
        told(count(rows, "out"), " drops out, ", " drop out, ") +
        told(count(rows, "in"), " new place comes in.", " new places come in.");
      if (untold > 0) {
        text += " For " + untold + " this cannot be told: the run found a better choice with them " +
          "than the simple one, which takes other places even at the plan's weights.";
      }
      if (missed > 0) {
        text += " The simple choice misses " + told(missed, " site", " sites") +
          " that least numbers ask for.";
      }
    }
    document.getElementById("weights-summary").textContent = text;
  }

  function update() {
    var list = normal(weights), scores = scoresUnder(list), same = asPlanned(list);
    var chosen = same ? null : chooseUnder(scores), rows = same ? asRun() : compare(chosen.sites);
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
