"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const params = new URLSearchParams(location.search);
  const SIGNS = {
    caution: "M12 1L24 23H0ZM10.6 8.5h2.8l-.6 7.5h-1.6ZM10.7 17.6h2.6v2.6h-2.6Z",
    out: "M3.6 0L12 8.4 20.4 0 24 3.6 15.6 12 24 20.4 20.4 24 12 15.6 3.6 24 0 20.4 8.4 12 0 3.6Z",
    hold: "M7 0H17L24 7V17L17 24H7L0 17V7ZM4 9.8V14.2H20V9.8Z",
    doubt: "M4 8A8 8 0 1 1 14 15.6V17H10V12.4L11.6 12A4 4 0 1 0 8 8ZM10 19.4H14V24H10Z",
    paused: "M3 1H10V23H3ZM14 1H21V23H14Z",
    finished: "M0 13L4 9 9 14 20 2 24 6 9 22Z",
    stopped: "M2 2H22V22H2Z",
  };
  const BEATS_LOST_MS = 12000;
  const BROKEN_MS = 2000;
  let waits = [];
  let skew = 0; // the host's clock less this tablet's, in ms
  let last = performance.now();
  let brokenAt = null;
  let off = false;
  let source = null;
  let demo = false;
  let shown = ""; // the id of the view

  const text = (id, value) => { $(id).textContent = value; };
  const make = (tag, value, name) => {
    const node = document.createElement(tag);
    if (value !== undefined) node.textContent = value;
    if (name) node.className = name;
    return node;
  };

  function head(view) {
    const step = view.step;
    $("step").hidden = !step;
    text("number", step ? step.number : "");
    text("total", step ? $("total").dataset.form.replace("#", step.total) : "");
    text("title", step ? step.title : view.procedure);
    text("kind", step ? step.kind : "");
    text("job", view.job);
    text("procedure", step ? view.procedure : "");
    text("left-open", view.left_open);
  }

  function work(view) {
    document.body.dataset.alarm = view.alarm;
    $("band").hidden = !view.band;
    text("band-text", view.band);
    $("sign").firstElementChild.setAttribute("d", SIGNS[view.alarm] || "");
    text("task", view.task);
    const figure = view.figure;
    $("figure").hidden = !figure;
    text("figure-label", figure ? figure.label : "");
    if (figure) {
      text("value", figure.text);
      $("value").style.setProperty("--letters", figure.text.length);
      $("value").classList.toggle("awaited", figure.awaited);
      text("unit", figure.unit);
    }
    $("work").classList.toggle("placed", view.rows.length > 0);
    $("work").classList.toggle("wordy", !figure && view.limits.length === 0);
    $("limits").hidden = view.limits.length === 0;
    $("limits").replaceChildren(...view.limits.map((limit) => {
      const div = make("div");
      const dd = make("dd", limit.text);
      dd.append(make("span", limit.unit));
      div.append(make("dt", limit.label), dd);
      return div;
    }));
    const lines = $("lines");
    lines.replaceChildren();
    lines.classList.toggle("reading", !figure);
    for (const line of view.lines) {
      const p = make("p");
      if (line.label) p.append(make("b", line.label), " ");
      p.append(line.text);
      lines.append(p);
    }
  }

  const svg = (tag, attributes, value) => {
    const node = document.createElementNS($("ring").namespaceURI, tag);
    for (const [name, one] of Object.entries(attributes)) node.setAttribute(name, one);
    if (value !== undefined) node.textContent = value;
    return node;
  };

  // One slice of the collar round a fastener: pass number `index` of `count`.
  function slice(x, y, r, index, count, full) {
    const gap = count > 1 ? 0.16 : 0.0001;
    const a = (index / count) * 2 * Math.PI - Math.PI / 2 + gap / 2;
    const b = ((index + 1) / count) * 2 * Math.PI - Math.PI / 2 - gap / 2;
    const point = (t) => `${(x + r * Math.cos(t)).toFixed(2)} ${(y + r * Math.sin(t)).toFixed(2)}`;
    const d = `M${point(a)}A${r} ${r} 0 ${b - a > Math.PI ? 1 : 0} 1 ${point(b)}`;
    return svg("path", { d, class: full ? "pass full" : "pass" });
  }

  // A whole label stands outside its circle, clear of the ring round it, and no wider than its room.
  function labelled(one, r, rows, room) {
    const across = rows || Math.abs(one.x - 50) < 8;
    const size = Math.min(7, (across ? room : 46) / (0.62 * one.label.length));
    const out = r + 6;
    const right = one.x > 50;
    const far = Math.hypot(one.x - 50, one.y - 50) || 1;
    const x = across ? one.x : one.x + (one.x - 50) * out / far;
    const y = !across ? one.y + (one.y - 50) * out / far : one.y < 50 ? one.y - out - size / 2 : one.y + out + size / 2;
    const anchor = across ? "middle" : right ? "start" : "end";
    const node = svg("text", { class: "label", x, y, "font-size": size.toFixed(2), "text-anchor": anchor }, one.label);
    const wide = 0.62 * size * one.label.length;
    const left = anchor === "middle" ? x - wide / 2 : right ? x : x - wide;
    return { node, box: [left, y - size / 2, left + wide, y + size / 2] };
  }

  // From the fastener that is due to the next one; bent inwards where others lie between the two.
  function arrow(a, b, r, rows, nearest) {
    const between = rows && a.y === b.y && Math.abs(a.x - b.x) > 1.2 * nearest;
    const via = between ? { x: (a.x + b.x) / 2, y: 50 } : { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const towards = (from, to, step) => {
      const far = Math.hypot(to.x - from.x, to.y - from.y) || 1;
      return { x: from.x + (to.x - from.x) * step / far, y: from.y + (to.y - from.y) * step / far };
    };
    const start = towards(a, via, r + 4.6);
    const end = towards(b, via, r + 4);
    const group = svg("g", { class: "way" });
    if (!between && Math.hypot(a.x - b.x, a.y - b.y) < 2 * r + 15) return group; // side by side
    const tip = towards(end, via, 5);
    const dx = (tip.x - end.x) / 5, dy = (tip.y - end.y) / 5;
    group.append(svg("path", { class: "line", d: `M${start.x} ${start.y}Q${via.x} ${via.y} ${tip.x} ${tip.y}` }));
    group.append(svg("path", { class: "head", d: `M${end.x} ${end.y}L${tip.x - 2.8 * dy} ${tip.y + 2.8 * dx}L${tip.x + 2.8 * dy} ${tip.y - 2.8 * dx}Z` }));
    return group;
  }

  function fastener(one, r, map) {
    const done = one.passes_done >= map.pass_number;
    const names = [done && "done", one.due && "due", one.next && "next"].filter(Boolean);
    const group = svg("g", { class: names.join(" ") });
    const words = $("ring").dataset;
    const state = one.due ? words.due : done ? words.done : one.next ? words.then : "";
    group.append(svg("title", {}, `${one.label} ${state}`));
    group.append(svg("circle", { class: "disc", cx: one.x, cy: one.y, r: r * 0.76 }));
    for (let pass = 0; pass < map.passes; pass += 1) {
      group.append(slice(one.x, one.y, r, pass, map.passes, pass < one.passes_done));
    }
    if (one.due || one.next) group.append(svg("circle", { class: "pointer", cx: one.x, cy: one.y, r: r + 3.4 }));
    const size = r * [1.2, 1.15, 0.86, 0.62][Math.min(3, one.own.length)];
    group.append(svg("text", { class: "own", x: one.x, y: one.y, "font-size": size.toFixed(2), "text-anchor": "middle" }, one.own));
    return group;
  }

  function ring(map) {
    const all = map.fasteners;
    const rows = all.length > 2 && new Set(all.map((one) => one.y)).size <= 2;
    const nearest = Math.min(46, ...all.flatMap((a, i) =>
      all.slice(i + 1).map((b) => Math.hypot(a.x - b.x, a.y - b.y))));
    const r = 0.42 * nearest;
    const due = all.filter((one) => one.due);
    const next = all.find((one) => one.next);
    const named = all.filter((one) => !one.own && (all.length <= 8 || one.due || one.next))
      .map((one) => labelled(one, r, rows, rows ? 0.95 * nearest : 60));
    const parts = due.length === 1 && next ? [arrow(due[0], next, r, rows, nearest)] : [];
    parts.push(...all.map((one) => fastener(one, r, map)), ...named.map((one) => one.node));
    $("ring").replaceChildren(...parts);
    const edge = r + 5;
    const boxes = [...all.map((one) => [one.x - edge, one.y - edge, one.x + edge, one.y + edge]), ...named.map((one) => one.box)];
    const [x, y] = [0, 1].map((i) => Math.min(...boxes.map((box) => box[i])));
    const [w, h] = [2, 3].map((i) => Math.max(...boxes.map((box) => box[i])) - (i === 2 ? x : y));
    $("ring").setAttribute("viewBox", `${x.toFixed(1)} ${y.toFixed(1)} ${w.toFixed(1)} ${h.toFixed(1)}`);
    text("pass", map.caption);
  }

  function beside(view) {
    const map = view.fasteners;
    $("map").hidden = !map;
    $("rows").hidden = view.rows.length === 0;
    $("beside").hidden = !map && view.rows.length === 0;
    $("beside").classList.toggle("table", !map);
    if (map) ring(map);
    else $("ring").replaceChildren();
    const body = $("rows").tBodies[0];
    body.replaceChildren();
    for (const row of view.rows) {
      const bad = row.mark === "out" || row.mark === "undecided";
      const tr = make("tr", undefined, (row.current ? "current " : "") + (bad ? "bad" : row.mark && row.mark !== "no_limit" ? "good" : ""));
      const th = make("th", row.position);
      th.scope = "row";
      const td = make("td", row.text || "–");
      if (row.verdict) td.append(make("small", row.verdict));
      tr.append(th, td);
      body.append(tr);
    }
  }

  function foot(view) {
    $("say").hidden = view.say.length === 0;
    $("phrases").replaceChildren(...view.say.map((phrase) => make(phrase.verbatim ? "q" : "span", phrase.text)));
    const heard = view.heard;
    text("heard", heard ? heard.text + " " : $("heard").dataset.nothing);
    const refused = heard ? heard.refused : "";
    $("refused").hidden = !refused;
    text("refused", $("refused").dataset.form.replace("#", () => refused));
    $("heard").classList.toggle("not-taken", Boolean(refused));
    if (heard && heard.sure !== null) {
      $("heard").append(make("small", $("heard").dataset.sure.replace("#", heard.sure)));
    }
    $("said").replaceChildren(...view.said.map((one) => {
      const p = make("p", one.text);
      p.dataset.tone = one.tone;
      return p;
    }));
    text("next", view.following.join(" → "));
    $("recorded").hidden = !view.recorded;
    text("recorded", $("recorded").dataset.form.replace("#", () => view.recorded));
    for (const [id, value] of [["demo", view.demo], ["notices", view.notices.join(" · ")]]) {
      $(id).hidden = !value;
      text(id, value);
    }
  }

  const clock = (instant) => instant.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", second: "2-digit", hour12: false });
  const day = (instant) => instant.toDateString() === new Date(Date.now() + skew).toDateString() ? ""
    : `${instant.toLocaleDateString(document.documentElement.lang || [], { weekday: "long" })}, `;
  const left = (ms) => {
    const s = Math.ceil(ms / 1000);
    const two = (n) => String(n).padStart(2, "0");
    return s >= 3600 ? `${Math.floor(s / 3600)}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}` : `${Math.floor(s / 60)}:${two(s % 60)}`;
  };

  // Whether the strip at the top has changed, which takes room from the rest.
  function tick() {
    const box = $("waits");
    if (box.children.length !== waits.length) {
      box.replaceChildren(...waits.map(() => {
        const p = make("p");
        p.append(make("span"), make("b"), make("span"));
        return p;
      }));
    }
    waits.forEach((wait, index) => {
      const [title, count, ends] = box.children[index].children;
      const until = new Date(wait.until);
      const rest = until.getTime() - (Date.now() + skew);
      title.textContent = wait.title;
      count.hidden = demo; // a demonstration's clock is not the tablet's
      count.textContent = rest > 0 ? left(rest) : box.dataset.over;
      ends.textContent = box.dataset.ends.replace("#", day(until) + clock(until));
    });
    const lost = (brokenAt !== null && performance.now() - brokenAt > BROKEN_MS) || performance.now() - last > BEATS_LOST_MS;
    const link = off ? "off" : lost ? "lost" : "live";
    const strip = $("lost");
    document.body.dataset.link = link;
    if (strip.dataset.kind !== link) {
      strip.dataset.kind = link;
      strip.hidden = link === "live";
      strip.textContent = link === "off" ? strip.dataset.off : link === "lost" ? strip.dataset.lost : "";
      return true;
    }
    return false;
  }

  const look = () => { if (tick()) fit(); };

  const whole = (box) => box.scrollHeight <= box.clientHeight + 1 && box.scrollWidth <= box.clientWidth + 1;

  const size = (box, k) => {
    if (k === 1) box.style.removeProperty("--k"); // as the style sheet has it
    else box.style.setProperty("--k", k.toFixed(3));
  };

  // What a box bears at most.
  function most(box) {
    if (box.id !== "work") return 1;
    return innerHeight > innerWidth ? 2 : box.classList.contains("wordy") ? 1.3 : 1;
  }

  // Halves what is left between too small and too large, of all boxes together: a try of them all
  // lays the page out once.
  function narrowed(boxes) {
    const ranges = boxes.map((box) => ({ box, low: 0.1, high: most(box) }));
    for (let n = 0; n < 7; n += 1) {
      for (const one of ranges) size(one.box, (one.low + one.high) / 2);
      const fits = ranges.map((one) => whole(one.box));
      ranges.forEach((one, i) => { one[fits[i] ? "low" : "high"] = (one.low + one.high) / 2; });
    }
    for (const { box, low } of ranges) size(box, low);
    return ranges;
  }

  // Each box as large as it fits, up to what it bears; none of them takes room from another.
  function fitted(boxes) {
    const small = narrowed(boxes.filter((box) => !whole(box))).filter(({ low }) => low < 0.4);
    for (const { box } of small) box.classList.add("broken"); // only then are words broken that are far too long
    narrowed(small.map(({ box }) => box));
  }

  // Nothing on the board is cut off or scrolled, whatever was shown before and however the tablet is
  // turned. What stands round the work has its own room; the fasteners and rows may have to take what
  // that leaves, and the work what both leave.
  function fit() {
    const round = [...document.querySelectorAll("[data-fit]:not(#beside, #work)")];
    const boxes = [...round, $("beside"), $("work")];
    for (const box of boxes) {
      box.classList.remove("broken");
      size(box, most(box));
    }
    fitted(round);
    fitted([$("beside")]);
    fitted([$("work")]);
  }

  // What comes with the page comes again as the first event, and the newest after a broken line.
  function show(id, view) {
    if (id === shown) {
      look();
      return;
    }
    demo = Boolean(view.demo);
    waits = view.waits;
    head(view);
    work(view);
    beside(view);
    foot(view);
    $("waits").hidden = waits.length === 0;
    $("waits").classList.toggle("only", !view.step);
    tick();
    fit();
    shown = id;
  }

  function arrived(data) {
    const body = JSON.parse(data);
    last = performance.now();
    brokenAt = null;
    off = false;
    skew = new Date(body.now).getTime() - Date.now();
    return body;
  }

  function open() {
    const token = params.get("token");
    source = new EventSource(token === null ? "events" : `events?token=${encodeURIComponent(token)}`);
    source.addEventListener("view", (message) => {
      show(message.lastEventId, arrived(message.data).view);
    });
    source.addEventListener("beat", (message) => { arrived(message.data); });
    source.addEventListener("off", () => { off = true; look(); });
    source.addEventListener("error", () => {
      if (brokenAt === null) brokenAt = performance.now();
      if (source.readyState === EventSource.CLOSED) {
        source.close();
        setTimeout(open, 2000); // refused outright: the browser itself would not try again
      }
    });
  }

  setInterval(look, 500);
  addEventListener("resize", fit);
  const first = arrived($("first").textContent);
  show(first.id, first.view);
  open();
})();
