// SPDX-License-Identifier: MIT
// The overview map on the screen: move and enlarge it with pointer, wheel, buttons or keys. The map
// is whole without this. ASCII only.
(function () {
  "use strict";
  var map = document.getElementById("overview");
  var ground = document.getElementById("ground");
  if (!map || !ground) return;
  var NS = "http://www.w3.org/2000/svg";
  var ZOOM_MOST = 24, STEP = 1.4, DRAG_PX = 4;
  var west = Number(map.dataset.west), north = Number(map.dataset.north);
  var scale = Number(map.dataset.scale), metres = Number(map.dataset.metres);
  var frame = {
    x: Number(ground.getAttribute("x")), y: Number(ground.getAttribute("y")),
    width: Number(ground.getAttribute("width")), height: Number(ground.getAttribute("height"))
  };
  var view = { x: 0, y: 0, zoom: 1 };

  function element(name, attributes, parent, text) {
    var made = document.createElementNS(NS, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (text !== undefined) made.textContent = text;
    parent.appendChild(made);
    return made;
  }

  function clear(node) {
    while (node.firstChild) node.removeChild(node.firstChild);
    return node;
  }

  // The largest 1, 2 or 5 times a power of ten that is at most `most`.
  function roundStep(most) {
    var power = Math.pow(10, Math.floor(Math.log10(most)));
    var lead = most / power;
    return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
  }

  function hold() {
    var width = frame.width / view.zoom, height = frame.height / view.zoom;
    view.x = Math.min(Math.max(view.x, 0), frame.width - width);
    view.y = Math.min(Math.max(view.y, 0), frame.height - height);
  }

  function steady() {
    Array.prototype.forEach.call(ground.querySelectorAll(".steady"), function (group) {
      group.setAttribute("transform", "translate(" + group.dataset.x + " " + group.dataset.y +
        ") scale(" + 1 / view.zoom + ")");
    });
  }

  function ticks() {
    var holder = clear(document.getElementById("map-ticks"));
    Array.prototype.forEach.call(ground.querySelectorAll(".grid"), function (line) { line.remove(); });
    var before = ground.querySelector("image").nextSibling;
    var wide = frame.width / view.zoom / scale, high = frame.height / view.zoom / scale;
    var step = roundStep(Math.max(wide, high) / 4), room = 40 / scale / view.zoom;
    var digits = step >= 1 ? 0 : Math.ceil(-Math.log10(step));
    var left = west + view.x / scale, top = north - view.y / scale;
    function lineAt(attributes) {
      attributes["class"] = "grid";
      attributes.stroke = "#ffffff";
      attributes["stroke-opacity"] = "0.5";
      attributes["vector-effect"] = "non-scaling-stroke";
      ground.insertBefore(element("line", attributes, ground), before);
    }
    var at, on, place;
    for (at = Math.ceil((left + room) / step) * step; at <= left + wide - room; at += step) {
      on = (at - west) * scale;
      place = frame.x + (on - view.x) * view.zoom;
      lineAt({ x1: on, y1: 0, x2: on, y2: frame.height });
      element("line", { x1: place, x2: place, y1: frame.y + frame.height,
        y2: frame.y + frame.height + 4, stroke: "#22242e" }, holder);
      element("text", { x: place, y: frame.y + frame.height + 16, "font-size": 11,
        "text-anchor": "middle", fill: "#5d626e" }, holder, at.toFixed(digits));
    }
    for (at = Math.ceil((top - high + room) / step) * step; at <= top - room; at += step) {
      on = (north - at) * scale;
      place = frame.y + (on - view.y) * view.zoom;
      lineAt({ y1: on, x1: 0, y2: on, x2: frame.width });
      element("line", { y1: place, y2: place, x1: frame.x - 4, x2: frame.x, stroke: "#22242e" },
        holder);
      element("text", { x: frame.x - 10, y: place, "font-size": 11, "text-anchor": "middle",
        fill: "#5d626e", transform: "rotate(-90 " + (frame.x - 10) + " " + place + ")" },
        holder, at.toFixed(digits));
    }
  }

  function scaleBar() {
    var holder = document.getElementById("map-scale");
    var first = holder.querySelector("rect");
    var x = Number(first.getAttribute("x")), y = Number(first.getAttribute("y"));
    var perMetre = scale * view.zoom / metres;
    var length = roundStep(190 / perMetre), wide = length * perMetre;
    var kilometres = length >= 1000, shown = kilometres ? length / 1000 : length;
    clear(holder);
    element("rect", { x: x, y: y, width: wide, height: 6, fill: "#ffffff", stroke: "#22242e" },
      holder);
    element("rect", { x: x, y: y, width: wide / 2, height: 6, fill: "#22242e" }, holder);
    [[0, "0", "start"], [0.5, String(shown / 2), "middle"],
      [1, shown + (kilometres ? " km" : " m"), "middle"]].forEach(function (label) {
      element("text", { x: x + wide * label[0], y: y + 18, "font-size": 11,
        "text-anchor": label[2], fill: "#22242e" }, holder, label[1]);
    });
  }

  function apply() {
    hold();
    ground.setAttribute("viewBox", [view.x, view.y, frame.width / view.zoom,
      frame.height / view.zoom].join(" "));
    steady();
    ticks();
    scaleBar();
  }

  // A place of the screen in units of the whole ground.
  function onGround(event) {
    var box = map.getBoundingClientRect();
    var perPixel = map.viewBox.baseVal.width / box.width;
    return {
      x: view.x + ((event.clientX - box.left) * perPixel - frame.x) / view.zoom,
      y: view.y + ((event.clientY - box.top) * perPixel - frame.y) / view.zoom,
      perPixel: perPixel / view.zoom
    };
  }

  function zoomTo(zoom, at) {
    var wanted = Math.min(Math.max(zoom, 1), ZOOM_MOST), change = wanted / view.zoom;
    view.x = at.x - (at.x - view.x) / change;
    view.y = at.y - (at.y - view.y) / change;
    view.zoom = wanted;
    apply();
  }

  function middle() {
    return { x: view.x + frame.width / view.zoom / 2, y: view.y + frame.height / view.zoom / 2 };
  }

  function move(dx, dy) {
    view.x += dx * frame.width / view.zoom;
    view.y += dy * frame.height / view.zoom;
    apply();
  }

  function reset() {
    view = { x: 0, y: 0, zoom: 1 };
    apply();
  }

  function tools() {
    var holder = document.createElement("div");
    holder.className = "map-tools";
    [["+", "Enlarge the map", function () { zoomTo(view.zoom * STEP, middle()); }],
      ["\u2212", "Shrink the map", function () { zoomTo(view.zoom / STEP, middle()); }],
      ["\u21ba", "Show the whole map", reset]].forEach(function (tool) {
      var button = document.createElement("button");
      button.type = "button";
      button.textContent = tool[0];
      button.title = tool[1];
      button.setAttribute("aria-label", tool[1]);
      button.addEventListener("click", tool[2]);
      holder.appendChild(button);
    });
    map.parentNode.insertBefore(holder, map);
    var hint = document.createElement("p");
    hint.className = "map-hint";
    hint.id = "map-hint";
    hint.textContent = "Drag to move. Ctrl and the wheel, two fingers or the buttons enlarge. With " +
      "the map in focus: arrow keys, + and -, 0 for all of it. A marker leads to its sheet.";
    map.parentNode.appendChild(hint);
    map.setAttribute("tabindex", "0");
    map.setAttribute("aria-describedby", "map-hint");
  }

  function onKey(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    var acts = {
      ArrowLeft: function () { move(-0.2, 0); }, ArrowRight: function () { move(0.2, 0); },
      ArrowUp: function () { move(0, -0.2); }, ArrowDown: function () { move(0, 0.2); },
      "+": function () { zoomTo(view.zoom * STEP, middle()); },
      "=": function () { zoomTo(view.zoom * STEP, middle()); },
      "-": function () { zoomTo(view.zoom / STEP, middle()); }, "0": reset
    };
    if (!acts[event.key] || (view.zoom === 1 && event.key.indexOf("Arrow") === 0)) return;
    event.preventDefault();
    acts[event.key]();
  }

  // A marker that gets the focus while it lies outside the view comes into its middle.
  function onFocus(event) {
    var group = event.target.querySelector && event.target.querySelector(".steady");
    if (!group || view.zoom === 1) return;
    var x = Number(group.dataset.x) - view.x, y = Number(group.dataset.y) - view.y;
    var width = frame.width / view.zoom, height = frame.height / view.zoom;
    if (x >= 0 && y >= 0 && x <= width && y <= height) return;
    view.x += x - width / 2;
    view.y += y - height / 2;
    apply();
  }

  function pointers() {
    var down = {}, moved = false, apart = 0;
    function list() { return Object.keys(down).map(function (id) { return down[id]; }); }
    function span(two) {
      return Math.hypot(two[0].clientX - two[1].clientX, two[0].clientY - two[1].clientY);
    }
    ground.addEventListener("pointerdown", function (event) {
      if (event.button !== 0) return;
      down[event.pointerId] = event;
      moved = false;
      if (list().length === 2) apart = span(list());
    });
    ground.addEventListener("pointermove", function (event) {
      var last = down[event.pointerId];
      if (!last) return;
      var dx = event.clientX - last.clientX, dy = event.clientY - last.clientY;
      if (!moved && Math.hypot(dx, dy) < DRAG_PX) return;
      if (!moved) ground.setPointerCapture(event.pointerId);
      moved = true;
      ground.classList.add("dragging");
      down[event.pointerId] = event;
      if (list().length === 2) {
        var now = span(list());
        zoomTo(view.zoom * now / Math.max(apart, 1), onGround(event));
        apart = now;
      } else {
        var perPixel = onGround(event).perPixel;
        view.x -= dx * perPixel;
        view.y -= dy * perPixel;
        apply();
      }
    });
    ["pointerup", "pointercancel"].forEach(function (name) {
      ground.addEventListener(name, function (event) {
        delete down[event.pointerId];
        if (list().length === 0) ground.classList.remove("dragging");
      });
    });
    ground.addEventListener("click", function (event) {
      if (!moved) return;
      moved = false;
      event.preventDefault();
      event.stopPropagation();
    }, true);
    ground.addEventListener("dragstart", function (event) { event.preventDefault(); });
  }

  function onWheel(event) {
    if (!event.ctrlKey && !event.metaKey && document.activeElement !== map) return;
    event.preventDefault();
    zoomTo(view.zoom * Math.pow(1.0015, -event.deltaY), onGround(event));
  }

  tools();
  pointers();
  ground.classList.add("live");
  map.addEventListener("keydown", onKey);
  map.addEventListener("focusin", onFocus);
  map.addEventListener("wheel", onWheel, { passive: false });
  document.addEventListener("marks-changed", steady);
  window.addEventListener("beforeprint", reset);
  apply();
})();
