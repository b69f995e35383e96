"use strict";
// Moves the maps of the castings. All numbers come from the data block; nothing is fetched.
(function () {
  var data = JSON.parse(document.getElementById("data").textContent);
  var byId = function (id) { return document.getElementById(id); };
  var slider = byId("time"), clock = byId("clock"), said = byId("said"), play = byId("play");
  var SVG = "http://www.w3.org/2000/svg";
  var DASHES = ["", "9 4", "3 3", "12 3 3 3"];
  var WIDEST = 330;
  var now = 0, playing = false, before = null;

  var bytes = function (text) {
    var raw = atob(text), out = new Uint8Array(raw.length);
    for (var i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
    return out;
  };
  var colours = data.colours.map(function (hex) {
    return [1, 3, 5].map(function (at) { return parseInt(hex.slice(at, at + 2), 16); });
  });
  var celsius = function (byte) { return data.low_c + byte * (data.high_c - data.low_c) / 255; };
  var temperature = function (c) {
    var texts = data.units.map(function (unit) { return (unit[0] * c + unit[1]).toFixed(0) + " " + unit[2]; });
    return texts.length > 1 ? texts[0] + " (" + texts[1] + ")" : texts[0];
  };
  var length = function (metres) { return (1000 * metres).toFixed(0) + " mm (" + (metres / 0.0254).toFixed(1) + " in)"; };
  var span = function (s) {
    var sign = s < -0.5 ? "-" : "", whole = Math.round(Math.abs(s)), h = Math.floor(whole / 3600);
    var m = Math.floor(whole / 60) % 60, rest = whole % 60;
    return sign + (h ? h + " h " : "") + (h || m ? m + " min " : "") + rest + " s";
  };
  // Index before a time in ascending times, and the share of the way to the next.
  var between = function (times, t) {
    var low = 0, high = times.length - 1;
    if (t <= times[0]) return [0, 0];
    if (t >= times[high]) return [high, 0];
    while (high - low > 1) { var mid = (low + high) >> 1; if (times[mid] <= t) low = mid; else high = mid; }
    return [low, (t - times[low]) / (times[high] - times[low])];
  };

  var widest = 0;
  var dies = data.dies.map(function (d, number) {
    var root = document.querySelector('[data-die="' + number + '"]'), n = d.points;
    var width = d.face_m[0][1] - d.face_m[0][0];
    widest = Math.max(widest, width, d.face_m[1][1] - d.face_m[1][0]);
    var map = function (kind, coded, low, size) {
      return { kind: kind, values: bytes(coded), low: low, size: size, canvas: root.querySelector("canvas." + kind),
               current: new Float32Array(n * n), image: document.createElement("canvas") };
    };
    var die = { d: d, n: n, number: number, root: root, state: root.querySelector(".state"),
      picked: root.querySelector(".picked"), bars: root.querySelectorAll(".bar"), shares: root.querySelectorAll(".share"),
      put: root.querySelector(".put-in"), pick: null, first: d.heats_s.length ? d.heats_s[0][1] : 0,
      last: d.times_s[d.times_s.length - 1], coldT: d.coldest.map(function (p) { return p[0]; }),
      maps: [map("face", d.face, [d.face_m[0][0], d.face_m[1][0]], [width, d.face_m[1][1] - d.face_m[1][0]]),
             map("section", d.section, [d.face_m[0][0], 0], [width, d.depth_m])] };
    return die;
  });
  dies.forEach(function (die) {
    die.maps.forEach(function (map) {
      map.image.width = map.image.height = die.n;
      map.canvas.width = Math.max(24, Math.round(WIDEST * map.size[0] / widest));
      map.canvas.height = Math.max(12, Math.round(WIDEST * map.size[1] / widest));
      // Of the column, so that all castings keep one scale of lengths whatever the width of the window.
      map.canvas.style.width = (100 * map.size[0] / widest).toFixed(2) + "%";
    });
  });

  var coldest = function (die, t) {
    if (!die.d.coldest.length) return null;
    var at = between(die.coldT, t), a = die.d.coldest[at[0]][1];
    return at[1] ? a + at[1] * (die.d.coldest[at[0] + 1][1] - a) : a;
  };
  // What the clock of a casting says at its own time.
  var state = function (die, t) {
    var minimum = die.d.minimum_c, flames = die.d.heats_s, off = null;
    if (minimum === null) return ["No minimum is asked for.", false];
    var level = temperature(minimum);
    for (var i = 0; i < flames.length; i++) {
      if (t >= flames[i][0] && t < flames[i][1]) return ["Flame on for " + span(t - flames[i][0]) + ".", false];
      if (t >= flames[i][1]) off = flames[i][1];
    }
    if (off === null) return ["Before the flame.", false];
    if (coldest(die, off) < minimum) return ["Below " + level + " already as the flame goes off.", true];
    for (var k = 1; k < die.d.coldest.length && die.d.coldest[k - 1][0] <= t; k++) {
      var p = die.d.coldest[k - 1], q = die.d.coldest[k];
      if (q[0] <= off || q[1] >= minimum) continue;
      var start = p[0] < off ? [off, coldest(die, off)] : p;
      var fell = start[1] <= minimum ? start[0] : start[0] + (start[1] - minimum) / (start[1] - q[1]) * (q[0] - start[0]);
      if (fell <= t) return ["Fell below " + level + " " + span(fell - off) + " after the flame.", true];
      break;
    }
    return ["Still above " + level + ", " + (t - off < 0.5 ? "flame just off." : span(t - off) + " after the flame."), false];
  };

  var X = function (map, u) { return (u - map.low[0]) / map.size[0] * map.canvas.width; };
  var Y = function (map, v) { return (v - map.low[1]) / map.size[1] * map.canvas.height; };
  var fill = function (die, map, t) {
    var at = between(die.d.times_s, t), n2 = die.n * die.n, a = at[0] * n2, b = at[1] ? a + n2 : a;
    var context = map.image.getContext("2d"), image = context.createImageData(die.n, die.n);
    for (var i = 0; i < n2; i++) {
      var value = map.values[a + i] + at[1] * (map.values[b + i] - map.values[a + i]);
      var colour = colours[Math.round(value)];
      map.current[i] = value;
      image.data[4 * i] = colour[0]; image.data[4 * i + 1] = colour[1]; image.data[4 * i + 2] = colour[2];
      image.data[4 * i + 3] = 255;
    }
    context.putImageData(image, 0, 0);
  };
  // Means of neighbours: a line between whole steps of the scale would be ragged.
  var smooth = function (values, n) {
    var out = new Float32Array(values.length);
    for (var j = 0; j < n; j++) for (var i = 0; i < n; i++) {
      var sum = 0, count = 0;
      if (i === 0 || j === 0 || i === n - 1 || j === n - 1) { out[j * n + i] = values[j * n + i]; continue; }
      for (var b = j - 1; b <= j + 1; b++) for (var a = i - 1; a <= i + 1; a++) { sum += values[b * n + a]; count++; }
      out[j * n + i] = sum / count;
    }
    return out;
  };
  // The line of the minimum, cell by cell of the map.
  var isotherm = function (die, map, context) {
    if (die.d.minimum_c === null) return;
    var level = (die.d.minimum_c - data.low_c) / (data.high_c - data.low_c) * 255, n = die.n, even = smooth(map.current, n);
    var sx = map.canvas.width / (n - 1), sy = map.canvas.height / (n - 1);
    context.beginPath();
    for (var j = 0; j < n - 1; j++) for (var i = 0; i < n - 1; i++) {
      var c = [[i, j], [i + 1, j], [i + 1, j + 1], [i, j + 1]], cut = [];
      for (var k = 0; k < 4; k++) {
        var p = c[k], q = c[(k + 1) % 4], v = even[p[1] * n + p[0]], w = even[q[1] * n + q[0]];
        if ((v < level) !== (w < level)) {
          var f = (level - v) / (w - v);
          cut.push([(p[0] + f * (q[0] - p[0])) * sx, (p[1] + f * (q[1] - p[1])) * sy]);
        }
      }
      for (var m = 0; m + 1 < cut.length; m += 2) {
        context.moveTo(cut[m][0], cut[m][1]); context.lineTo(cut[m + 1][0], cut[m + 1][1]);
      }
    }
    context.strokeStyle = "#000"; context.lineWidth = 4; context.stroke();
    context.strokeStyle = "#fff"; context.lineWidth = 2; context.stroke();
  };
  var outline = function (context, dash, path) {
    context.setLineDash(dash); context.beginPath(); path();
    context.strokeStyle = "#000"; context.lineWidth = 3; context.stroke();
    context.strokeStyle = "#fff"; context.lineWidth = 1.3; context.stroke(); context.setLineDash([]);
  };
  var outlines = function (die, map, context) {
    die.d.outlines.forEach(function (one) {
      var dash = one[0] === "heated patch" ? [7, 4] : one[0] === "ring" ? [2, 3] : [];
      if (map.kind === "face") {
        outline(context, dash, function () {
          one[1].forEach(function (p, i) { context[i ? "lineTo" : "moveTo"](X(map, p[0]), Y(map, p[1])); });
          context.closePath();
        });
      } else if (one[0] === "ring" && die.d.ring_depth_m > 0) {
        var xs = one[1].map(function (p) { return p[0]; }), y = Y(map, die.d.ring_depth_m);
        var left = X(map, Math.min.apply(null, xs)), right = X(map, Math.max.apply(null, xs));
        outline(context, dash, function () {
          context.moveTo(left, 0); context.lineTo(left, y); context.lineTo(right, y); context.lineTo(right, 0);
        });
      }
    });
  };
  var draw = function (die, t) {
    die.maps.forEach(function (map, index) {
      var context = map.canvas.getContext("2d");
      fill(die, map, t);
      context.imageSmoothingEnabled = true;
      context.drawImage(map.image, 0, 0, map.canvas.width, map.canvas.height);
      outlines(die, map, context);
      isotherm(die, map, context);
      if (die.pick && die.pick.map === index) {
        var x = die.pick.i / (die.n - 1) * map.canvas.width, y = die.pick.j / (die.n - 1) * map.canvas.height;
        outline(context, [], function () { context.arc(x, y, 6, 0, 7); });
      }
    });
  };
  var ledger = function (die, t) {
    var at = between(die.d.times_s, t), a = die.d.ledger_mj[at[0]], b = die.d.ledger_mj[at[1] ? at[0] + 1 : at[0]];
    var term = a.map(function (v, i) { return v + at[1] * (b[i] - v); });
    die.put.textContent = "Of " + term[0].toFixed(1) + " MJ put in so far:";
    for (var i = 0; i < die.bars.length; i++) {
      var share = term[0] > 0.001 ? 100 * term[i + 1] / term[0] : 0;
      die.bars[i].style.width = Math.max(0, Math.min(100, share)).toFixed(1) + "%";
      die.shares[i].textContent = share.toFixed(1) + " %";
    }
  };
  var pickedValue = function (die, frame) {
    return celsius(die.maps[die.pick.map].values[(frame * die.n + die.pick.j) * die.n + die.pick.i]);
  };
  var picked = function (die, t) {
    if (!die.pick) { die.picked.textContent = "Click a map for the curve of a place."; return; }
    var map = die.maps[die.pick.map], at = between(die.d.times_s, t), a = pickedValue(die, at[0]);
    var value = at[1] ? a + at[1] * (pickedValue(die, at[0] + 1) - a) : a;
    var along = die.pick.i / (die.n - 1) * map.size[0] + map.low[0];
    var other = die.pick.j / (die.n - 1) * map.size[1] + map.low[1];
    die.picked.textContent = "At x " + length(along) + (die.pick.map ? ", " + length(other) + " down: " : ", y " +
      length(other) + ": ") + (value >= data.high_c ? "over " : "") + temperature(value);
  };

  var aligned = function () { return byId("align").value === "off"; };
  var own = function (die) { return aligned() ? now + die.first : now; };
  var ends = function () {
    var low = aligned() ? -Math.max.apply(null, dies.map(function (d) { return d.first; })) : 0;
    var high = Math.max.apply(null, dies.map(function (d) { return d.last - (aligned() ? d.first : 0); }));
    return [Math.floor(low), Math.ceil(high)];
  };
  var within = function (die, t) { return Math.max(0, Math.min(die.last, t)); };

  // The chart: drawn anew when a place is picked or the clock is set otherwise; the hand alone moves.
  var W = 1000, H = 380, LEFT = 62, RIGHT = 250, TOP = 14, BOTTOM = 50, LETTER = 8.2, hand = null;
  var element = function (parent, name, attributes, text) {
    var made = document.createElementNS(SVG, name);
    Object.keys(attributes).forEach(function (key) { made.setAttribute(key, attributes[key]); });
    if (text !== undefined) made.textContent = text;
    parent.appendChild(made);
    return made;
  };
  var chartX = function (t) { var e = ends(); return LEFT + (W - LEFT - RIGHT) * (t - e[0]) / (e[1] - e[0]); };
  var chartY = function (c) { return H - BOTTOM - (H - TOP - BOTTOM) * (c - data.low_c) / (data.high_c - data.low_c); };
  var path = function (points) {
    return points.map(function (p, i) { return (i ? "L" : "M") + p[0].toFixed(1) + " " + p[1].toFixed(1); }).join("");
  };
  var round = function (rough) {
    var power = Math.pow(10, Math.floor(Math.log10(rough)));
    return [1, 2, 5, 10].map(function (f) { return f * power; }).filter(function (v) { return v >= rough; })[0];
  };
  var chart = function () {
    var host = byId("chart"), e = ends(), minutes = e[1] - e[0] > 300 ? 60 : 1;
    host.textContent = "";
    // As wide as its place, so that the letters keep their size.
    W = Math.max(300, host.clientWidth); H = Math.max(260, Math.min(400, 0.45 * W));
    RIGHT = Math.min(38 + LETTER * 28, 0.4 * W);
    var most = Math.floor((RIGHT - 38) / LETTER);
    var svg = element(host, "svg", { viewBox: "0 0 " + W + " " + H, role: "img",
      "aria-label": "The watched place of each casting over time, with its limit; thin lines are picked places" });
    var step = round((data.high_c - data.low_c) / 6);
    for (var c = Math.ceil(data.low_c / step) * step; c <= data.high_c; c += step) {
      element(svg, "path", { d: path([[LEFT, chartY(c)], [W - RIGHT, chartY(c)]]), stroke: "var(--rule)", "stroke-width": .6 });
      data.units.forEach(function (unit, line) {
        element(svg, "text", { x: LEFT - 8, y: chartY(c) + 6 + 14 * line, "text-anchor": "end", "class": line ? "small" : "" },
          (unit[0] * c + unit[1]).toFixed(0) + " " + unit[2]);
      });
    }
    var every = round((e[1] - e[0]) / minutes / Math.max(3, W / 110)) * minutes;
    for (var t = Math.ceil(e[0] / every) * every; t <= e[1]; t += every) {
      element(svg, "text", { x: chartX(t), y: H - BOTTOM + 20, "text-anchor": "middle" }, String(+(t / minutes).toFixed(2)));
    }
    element(svg, "text", { x: (LEFT + W - RIGHT) / 2, y: H - 8, "text-anchor": "middle" },
      "time from the first flame " + (aligned() ? "off" : "on") + ", " + (minutes > 1 ? "min" : "s"));
    var names = [];
    dies.forEach(function (die, k) {
      var shift = aligned() ? die.first : 0, colour = "var(--line" + k % 4 + ")";
      var curve = die.d.coldest.map(function (p) { return [chartX(p[0] - shift), chartY(p[1])]; });
      if (die.d.minimum_c !== null) element(svg, "path", { d: path([[LEFT, chartY(die.d.minimum_c)], [W - RIGHT, chartY(die.d.minimum_c)]]),
        stroke: "var(--ink)", "stroke-width": 1.5, "stroke-dasharray": "2 4", fill: "none" });
      element(svg, "path", { d: path(curve), stroke: colour, "stroke-width": 3, "stroke-dasharray": DASHES[k % 4], fill: "none", "class": "coldest" });
      if (die.pick) {
        var points = die.d.times_s.map(function (t, f) { return [chartX(t - shift), chartY(pickedValue(die, f))]; });
        element(svg, "path", { d: path(points), stroke: colour, "stroke-width": 1.4, "stroke-dasharray": DASHES[k % 4], fill: "none", "class": "place" });
      }
      if (curve.length) names.push([curve[curve.length - 1][1], die.d.name, colour, DASHES[k % 4]]);
    });
    if (dies.length && dies[0].d.minimum_c !== null) names.push([chartY(dies[0].d.minimum_c), dies[0].d.limit + " " + temperature(dies[0].d.minimum_c), "var(--ink)", "2 4"]);
    names.sort(function (a, b) { return a[0] - b[0]; });
    var least = TOP + 8;
    names.forEach(function (name, i) {
      least = Math.max(least, Math.min(name[0], H - BOTTOM - 22 * (names.length - 1 - i)));
      element(svg, "path", { d: path([[W - RIGHT + 6, least], [W - RIGHT + 32, least]]), stroke: name[2], "stroke-width": 3, "stroke-dasharray": name[3] });
      element(svg, "text", { x: W - RIGHT + 38, y: least + 6 }, name[1].length > most ? name[1].slice(0, most - 1) + "\u2026" : name[1]);
      least += 22;
    });
    hand = element(svg, "path", { stroke: "var(--ink)", "stroke-width": 2, fill: "none", id: "hand" });
  };

  var show = function (loud) {
    var words = [];
    slider.value = Math.round(now);
    clock.textContent = span(now);
    slider.setAttribute("aria-valuetext", span(now) + " from the first flame " + (aligned() ? "off" : "on"));
    dies.forEach(function (die) {
      var t = within(die, own(die)), told = state(die, t), c = coldest(die, t);
      draw(die, t); ledger(die, t); picked(die, t);
      die.state.textContent = told[0] + (c === null ? "" : " " + (die.d.place || "First probe") + " " + temperature(c) + ".");
      die.state.classList.toggle("below", told[1]);
      words.push(die.d.name + ": " + die.state.textContent);
    });
    hand.setAttribute("d", path([[chartX(now), TOP], [chartX(now), H - BOTTOM]]));
    if (loud) said.textContent = span(now) + ". " + words.join(" ");
  };
  var go = function (t, loud) { var e = ends(); now = Math.max(e[0], Math.min(e[1], t)); show(loud); };
  var stop = function () { playing = false; before = null; play.textContent = "Play"; play.setAttribute("aria-pressed", "false"); };
  var tick = function (stamp) {
    if (!playing) return;
    if (before !== null) go(now + (stamp - before) / 1000 * Number(byId("speed").value), false);
    before = stamp;
    if (now >= ends()[1]) { stop(); show(true); } else requestAnimationFrame(tick);
  };
  var toggle = function () {
    if (playing) { stop(); show(true); return; }
    if (now >= ends()[1]) now = ends()[0];
    playing = true; play.textContent = "Pause"; play.setAttribute("aria-pressed", "true");
    requestAnimationFrame(tick);
  };
  var step = function (direction) {
    // To the next instant that any casting has a map of.
    var times = [];
    dies.forEach(function (die) { die.d.times_s.forEach(function (t) { times.push(t - (aligned() ? die.first : 0)); }); });
    var e = ends(), ahead = times.concat(e).filter(function (t) { return direction > 0 ? t > now + .5 : t < now - .5; });
    stop();
    if (ahead.length) go(direction > 0 ? Math.min.apply(null, ahead) : Math.max.apply(null, ahead), true);
  };
  var reset = function () { var e = ends(); slider.min = e[0]; slider.max = e[1]; chart(); };

  var pick = function (die, index, i, j) {
    var last = die.n - 1;
    die.pick = { map: index, i: Math.max(0, Math.min(last, i)), j: Math.max(0, Math.min(last, j)) };
    chart(); show(false); said.textContent = die.d.name + ": " + die.picked.textContent;
  };
  var MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  dies.forEach(function (die) {
    die.maps.forEach(function (map, index) {
      map.canvas.addEventListener("click", function (event) {
        var box = map.canvas.getBoundingClientRect(), last = die.n - 1;
        pick(die, index, Math.round((event.clientX - box.left) / box.width * last), Math.round((event.clientY - box.top) / box.height * last));
      });
      map.canvas.addEventListener("keydown", function (event) {
        var move = MOVES[event.key];
        if (!move) return;
        event.preventDefault(); event.stopPropagation();
        var from = die.pick && die.pick.map === index ? die.pick : { i: die.n >> 1, j: index ? 0 : die.n >> 1 };
        pick(die, index, from.i + move[0], from.j + move[1]);
      });
    });
  });
  window.addEventListener("resize", function () { chart(); show(false); });
  play.addEventListener("click", toggle);
  byId("back").addEventListener("click", function () { step(-1); });
  byId("next").addEventListener("click", function () { step(1); });
  slider.addEventListener("input", function () { stop(); go(Number(slider.value), true); });
  byId("align").addEventListener("change", function () {
    var by = dies.length ? dies[0].first : 0;
    now += aligned() ? -by : by; reset(); go(now, true);
  });
  document.addEventListener("keydown", function (event) {
    var tag = event.target.tagName;
    if (event.ctrlKey || event.altKey || event.metaKey || tag === "SELECT") return;
    if (event.key === " " && tag !== "BUTTON") { event.preventDefault(); toggle(); }
    else if (event.key === "ArrowRight") { event.preventDefault(); step(1); }
    else if (event.key === "ArrowLeft") { event.preventDefault(); step(-1); }
    else if (event.key === "Home") { event.preventDefault(); stop(); go(ends()[0], true); }
    else if (event.key === "End") { event.preventDefault(); stop(); go(ends()[1], true); }
  });

  document.body.classList.add("moving");
  document.querySelectorAll(".live").forEach(function (one) { one.hidden = false; });
  document.querySelectorAll(".still").forEach(function (one) { one.hidden = true; });
  // A link may name a time: page.html#t=360
  var asked = /^#t=(-?[0-9.]+)$/.exec(location.hash), first = dies.length ? dies[0].first : 0;
  // Else it opens where the difference shows: as one has just fallen below, each counted from its own flame-off.
  var fall = function (die) {
    var flames = die.d.heats_s, until = flames.length > 1 ? flames[1][0] : die.last;
    if (die.d.minimum_c === null || !flames.length) return Infinity;
    for (var t = die.first; t <= until; t++) if (coldest(die, t) < die.d.minimum_c) return t - die.first;
    return Infinity;
  };
  var soonest = Math.min.apply(null, dies.map(fall)), opening = isFinite(soonest) ? soonest + 10 : 0;
  if (!asked && dies.some(function (die) { return Math.abs(die.first - first) > 1; })) byId("align").value = "off";
  reset();
  go(asked ? Number(asked[1]) : aligned() ? opening : first + opening, false);
})();
