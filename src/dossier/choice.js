// SPDX-License-Identifier: MIT
// Chooses sites among the candidates that a page holds, by the plan's rules: least distance, traps
// that stand already, quotas per pair and per block with least numbers before all else, even spread.
// The greedy choice is the run's own first one (src/choose/greedy.c); it and the run's sites are
// both bettered by exchanges of single sites, and the better one is taken. ASCII only.
//
// chooserOf(data) -> { candidates, sites, normal, asPlanned, scoresUnder, chooseUnder, apart }
function chooserOf(data) {
  "use strict";
  var TINY = 1e-9; // gains smaller than a step of the scores are none
  var WORK = 4e7; // distances that exchanges look at with even spread: bounds the time of many sites
  var planned = data.criteria.map(function (criterion) { return criterion.weight; });
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

  // --- what the rules say ---

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

  // How well so many metres to the nearest site serve even spread, and what a site adds with that.
  function part(score, near) {
    var even = near < data.even ? near / data.even : 1;
    return (1 - data.spread) * score + data.spread * even;
  }

  // --- the greedy choice ---

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
    function findMost() {
      var most = -Infinity, at = -1;
      for (var i = 0; i < order.length; i++) {
        var adds = part(scores[order[i].index], near[i]);
        if (near[i] < data.apart || adds <= most || !hasRoom(state, order[i])) continue;
        most = adds;
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

  function fill(order, scores, state) {
    if (data.spread > 0) fillEvenly(order, scores, state);
    else sweep(order, state, function () { return true; });
  }

  // --- exchanges ---

  function stateOf(list) {
    var state = emptyState();
    list.forEach(function (candidate) { take(state, candidate); });
    return state;
  }

  // Of each in a list, the metres to the nearest other; without even spread nobody asks.
  function nearestOthers(list) {
    return list.map(function (one) {
      if (data.spread === 0) return Infinity;
      return list.reduce(function (least, other) {
        return other === one ? least : Math.min(least, apart(one, other));
      }, Infinity);
    });
  }

  function objective(list, near, scores) {
    return list.reduce(function (sum, one, i) { return sum + part(scores[one.index], near[i]); }, 0);
  }

  // Counts for each candidate the sites that are too near to it, and adds up their numbers: where
  // there is one, the sum tells which.
  function countNear(tally, site, sign) {
    open.forEach(function (candidate) {
      if (apart(candidate, site) >= data.apart) return;
      tally.count[candidate.index] += sign;
      tally.sum[candidate.index] += sign * site.index;
    });
  }

  function tallyOf(state) {
    var tally = { count: candidates.map(function () { return 0; }),
      sum: candidates.map(function () { return 0; }) };
    state.chosen.forEach(function (site) { countNear(tally, site, 1); });
    return tally;
  }

  // The objective of `rest`, whose sites are `near` one another and come to `base`, with one more.
  function withOne(rest, near, base, candidate, scores, search) {
    var sum = 0, own = Infinity;
    if (data.spread === 0) return base + scores[candidate.index];
    search.work -= rest.length;
    rest.forEach(function (site, k) {
      var metres = apart(site, candidate);
      own = Math.min(own, metres);
      sum += part(scores[site.index], Math.min(near[k], metres));
    });
    return sum + part(scores[candidate.index], own);
  }

  // Who is better in a site's place, all others standing: less missing first, then more in all.
  function instead(site, state, tally, order, scores, search) {
    var rest = stateOf(state.chosen.filter(function (one) { return one !== site; }));
    var near = nearestOthers(rest.chosen), base = objective(rest.chosen, near, scores);
    var lacking = missing(rest), least = missing(state), to = null;
    var most = withOne(rest.chosen, near, base, site, scores, search) + TINY;
    for (var i = 0; i < order.length && search.work > 0; i++) {
      var one = order[i], beside = tally.count[one.index];
      if (beside > 1 || beside === 1 && tally.sum[one.index] !== site.index) continue;
      if (!hasRoom(rest, one) || one === site) continue;
      var lacks = lacking - one.groups.filter(function (group, kind) {
        return lack(rest, kind, group) > 0;
      }).length;
      if (lacks > least) continue;
      if (lacks === least && base + part(scores[one.index], Infinity) <= most) continue;
      var all = withOne(rest.chosen, near, base, one, scores, search);
      if (lacks === least && all <= most) continue;
      least = lacks;
      most = all;
      to = one;
    }
    return to;
  }

  // Exchanges single sites while that betters the choice.
  function bettered(list, order, scores) {
    var state = stateOf(list), tally = tallyOf(state), search = { work: WORK }, changed;
    function tryInstead(site) {
      var to = instead(site, state, tally, order, scores, search);
      if (!to) return;
      state = stateOf(state.chosen.map(function (one) { return one === site ? to : one; }));
      countNear(tally, site, -1);
      countNear(tally, to, 1);
      changed = true;
    }
    function fillUp() {
      var count = state.chosen.length;
      fill(order, scores, state);
      state.chosen.slice(count).forEach(function (site) { countNear(tally, site, 1); });
      changed = changed || state.chosen.length > count;
    }
    do {
      changed = false;
      state.chosen.slice().forEach(tryInstead);
      fillUp();
    } while (changed && search.work > 0);
    return state;
  }

  // --- the choice ---

  // By score, then from north to south, from west to east, by pair.
  function sorted(list, scores) {
    return list.slice().sort(function (a, b) {
      return scores[b.index] - scores[a.index] || a.y - b.y || a.x - b.x || a.groups[0] - b.groups[0];
    });
  }

  function isBetter(one, other, scores) {
    var less = missing(other) - missing(one), more = one.chosen.length - other.chosen.length;
    if (less !== 0) return less > 0;
    if (data.spread > 0 && more !== 0) return more > 0;
    return objective(one.chosen, nearestOthers(one.chosen), scores) >
      objective(other.chosen, nearestOthers(other.chosen), scores) + TINY;
  }

  var sites = candidates.filter(function (candidate) { return candidate.rank > 0; })
    .sort(function (a, b) { return a.rank - b.rank; });

  // The sites, best first, and how many more the least numbers ask for.
  function chooseUnder(scores) {
    var order = sorted(open, scores), greedy = meetMinimums(order), run = emptyState();
    fill(order, scores, greedy);
    sweep(sites, run, function () { return true; }); // all of them, but for what other hands changed
    var best = bettered(run.chosen, order, scores), other = bettered(greedy.chosen, order, scores);
    if (isBetter(other, best, scores)) best = other;
    return { sites: sorted(best.chosen, scores), missing: missing(best) };
  }

  return { candidates: candidates, sites: sites, normal: normal, asPlanned: asPlanned,
    scoresUnder: scoresUnder, chooseUnder: chooseUnder, apart: apart };
}
