"use strict";
(() => {
const $ = (id) => document.getElementById(id);
const all = (sel, from = document) => [...from.querySelectorAll(sel)];
const svgNS = "http://www.w3.org/2000/svg";
const numberOf = (el) => Number(el.id.slice(1));

// ---- what is lit: one ply, in its picture, its row and the locator ----
const views = all(".lay").map((lay) => new View(lay));
let pinned = -1;

function viewOf(n) {
  const ply = $("p" + n);
  return ply ? views[Number(ply.closest(".lay").dataset.l)] : null;
}

function mark(svg, n) {
  const old = svg.querySelector(".mark-lit");
  if (old) old.remove();
  const ply = n < 0 ? null : $("p" + n);
  if (!ply) return;
  const g = document.createElementNS(svgNS, "g");
  g.setAttribute("class", "mark-lit");
  g.dataset.n = n;
  for (const c of ["halo", "hot"]) {
    const path = document.createElementNS(svgNS, "path");
    path.setAttribute("class", c);
    path.setAttribute("d", ply.querySelector(".cut").getAttribute("d"));
    g.append(path);
  }
  for (const t of all("text", ply)) g.append(t.cloneNode(true));
  svg.append(g);
}

function light(n) {
  for (const tr of all("tr.lit")) tr.classList.remove("lit");
  const v = n < 0 ? null : viewOf(n);
  for (const w of views) w.light(w === v ? n : -1);
  const row = n < 0 ? null : $("r" + n);
  if (row) row.classList.add("lit");
  locate(n, v);
}

function point(n) { light(n < 0 ? pinned : n); }
function pin(n) { pinned = n; light(n); }

// ---- the locator above the kits ----
const locator = document.querySelector(".locator");
const stage = locator.querySelector(".stage");
let shown = null;

// fill shows parts of a drawing in another svg.
function fill(svg, ids) {
  svg.replaceChildren(...ids.map((id) => {
    const use = document.createElementNS(svgNS, "use");
    use.setAttribute("href", "#" + id);
    return use;
  }));
}

function locate(n, v) {
  if (!v) return;
  const key = v.key();
  if (shown !== key) {
    shown = key;
    const svg = document.createElementNS(svgNS, "svg");
    svg.setAttribute("viewBox", v.whole.join(" "));
    fill(svg, v.parts());
    const name = document.createElement("p");
    name.textContent = v.name();
    stage.replaceChildren(svg, name);
  }
  mark(stage.firstElementChild, n);
}

locator.querySelector(".fold").addEventListener("click", (e) => {
  e.target.textContent = $("kits").classList.toggle("shut") ? "Show" : "Hide";
});

// ---- a picture that zooms ----
function View(lay) {
  const box = lay.querySelector(".view");
  const svg = lay.querySelector(".pic");
  const what = lay.querySelector(".what");
  const whole = svg.getAttribute("viewBox").split(" ").map(Number);
  let at = whole.slice();
  let lit = -1;
  const self = this;
  self.whole = whole;
  self.lay = lay;

  const layers = all(".layer", svg);
  self.layer = () => layers.find((g) => g.getAttribute("display") !== "none") || layers[0];
  self.key = () => lay.id + "/" + self.layer().dataset.layer;
  self.name = () => {
    const h = lay.querySelector("h3").cloneNode(true);
    h.querySelector(".paper").remove();
    return h.textContent;
  };
  self.parts = () => [svg.querySelector("g[id]").id, self.layer().firstElementChild.id];
  self.show = (layer) => {
    for (const g of layers) {
      if (g === layer) g.removeAttribute("display"); else g.setAttribute("display", "none");
    }
    for (const r of all("input[type=radio]", lay)) r.checked = r.value === layer.dataset.layer;
  };
  for (const r of all("input[type=radio]", lay)) {
    r.addEventListener("change", () => self.show(layers.find((g) => g.dataset.layer === r.value)));
  }

  self.light = (n) => {
    if (n >= 0) {
      const layer = $("p" + n).closest(".layer");
      if (layer !== self.layer()) self.show(layer);
    }
    if (n === lit) return;
    lit = n;
    mark(svg, n);
    what.replaceChildren();
    what.classList.toggle("on", n >= 0);
    if (n < 0) return;
    const words = $("p" + n).querySelector("title").textContent.split(" · ");
    const b = document.createElement("b");
    b.textContent = words[0];
    const a = document.createElement("a");
    a.href = "#r" + n;
    a.textContent = "kit row";
    what.append(b, " · " + words.slice(1).join(" · ") + " · ", a);
  };

  // The window the picture is seen through need not have its proportions: on
  // a phone it is taller.
  svg.style.aspectRatio = whole[2] + "/" + whole[3];
  svg.style.maxHeight = "min(72vh," + svg.dataset.high + "px)";
  function tall() {
    const r = svg.getBoundingClientRect();
    return r.width > 0 ? r.height / r.width : whole[3] / whole[2];
  }
  const widest = (k) => Math.max(whole[2], whole[3] / k);
  // within keeps the window on the drawing; room to spare is shared by lead.
  function within(v, size, from, span, lead) {
    return size >= span ? from - (size - span) * lead : Math.min(Math.max(v, from), from + span - size);
  }
  function set(x, y, w, k = tall()) {
    w = Math.min(Math.max(w, whole[2] / 60), widest(k));
    const h = w * k;
    at = [within(x, w, whole[0], whole[2], 0), within(y, h, whole[1], whole[3], 0.5), w, h];
    svg.setAttribute("viewBox", at.map((v) => v.toFixed(2)).join(" "));
    box.classList.toggle("more", self.zoomed());
    box.classList.toggle("near", h < whole[3] * 0.999);
  }
  // toMM turns a place on the screen into one of the fabric.
  function toMM(e) {
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [p.x, p.y];
  }
  function zoom(f, c) {
    // What is shown may still have the proportions of the drawing.
    if (!self.zoomed()) self.all();
    c = c || [0, 1].map((i) => at[i + 2] > whole[i + 2] ? whole[i] + whole[i + 2] / 2 : at[i] + at[i + 2] / 2);
    const k = tall();
    const w = Math.min(Math.max(at[2] / f, whole[2] / 60), widest(k));
    const grow = w / at[2];
    set(c[0] - (c[0] - at[0]) * grow, c[1] - (c[1] - at[1]) * grow, w, k);
  }
  self.all = () => set(whole[0], whole[1], Infinity);
  // high shows as much of the length as fits at the window's full height.
  self.high = () => set(whole[0], whole[1], whole[3] / tall());
  self.zoomed = () => at[2] < whole[2] * 0.999 || at[3] < whole[3] * 0.999;
  addEventListener("resize", () => { if (!self.zoomed()) self.all(); else set(at[0], at[1], at[2]); });
  // reveal moves a ply into sight where zooming has put it out.
  self.reveal = (n) => {
    if (!self.zoomed()) return;
    const b = $("p" + n).querySelector(".cut").getBBox();
    const x = b.x + b.width / 2, y = b.y + b.height / 2;
    if (x < at[0] || x > at[0] + at[2] || y < at[1] || y > at[1] + at[3]) set(x - at[2] / 2, y - at[3] / 2, at[2]);
  };

  for (const b of all("[data-zoom]", lay)) {
    b.addEventListener("click", () => {
      if (b.dataset.zoom === "in") zoom(1.6);
      else if (b.dataset.zoom === "out") zoom(1 / 1.6);
      else self.all();
    });
  }
  box.addEventListener("wheel", (e) => {
    // A page that is only scrolled past must not zoom.
    if (!(e.ctrlKey || e.metaKey || box.contains(document.activeElement))) return;
    e.preventDefault();
    zoom(Math.exp(-Math.max(-60, Math.min(60, e.deltaY)) * 0.006), toMM(e));
  }, { passive: false });

  const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  box.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const s = step[e.key];
    if (e.key === "+" || e.key === "=") zoom(1.4);
    else if (e.key === "-") zoom(1 / 1.4);
    else if (e.key === "0") self.all();
    else if (s && self.zoomed()) set(at[0] + s[0] * at[2] / 8, at[1] + s[1] * at[3] / 8, at[2]);
    else if (e.key === "n" || e.key === "N") walk(1);
    else if (e.key === "p" || e.key === "P") walk(-1);
    else if (e.key === "Enter" && lit >= 0) go($("r" + lit));
    else if (e.key === "Escape") pin(-1);
    else return;
    e.preventDefault();
  });
  // walk steps through the plies in the order off the table.
  let order = null;
  function walk(by) {
    const layer = self.layer();
    if (!order || order.layer !== layer) {
      const list = all(".pl", layer).map((g) => ({ n: numberOf(g), at: placeOf(g) }));
      list.sort((a, b) => a.at - b.at);
      order = { layer, list: list.map((o) => o.n) };
    }
    const list = order.list.filter((n) => !$("p" + n).classList.contains("off"));
    if (!list.length) return;
    let i = list.indexOf(list.includes(pinned) ? pinned : lit);
    i = i < 0 ? (by > 0 ? 0 : list.length - 1) : (i + by + list.length) % list.length;
    pin(list[i]);
    self.reveal(list[i]);
  }
  function placeOf(g) {
    const no = g.querySelector(".no");
    return no ? Number(no.textContent.slice(1)) : 0;
  }

  // Pointers: one drags or taps, two pinch.
  const down = new Map();
  let moved = 0;
  const plyAt = (e) => { const g = e.target.closest && e.target.closest(".pl"); return g ? numberOf(g) : -1; };
  // A picture that a key has moved under a resting mouse is not pointed at.
  let keyed = -1e9;
  box.addEventListener("keydown", () => { keyed = performance.now(); }, true);
  box.addEventListener("pointerover", (e) => {
    if (e.pointerType === "mouse" && !down.size && performance.now() - keyed > 400) point(plyAt(e));
  });
  box.addEventListener("pointerleave", () => { if (!down.size) point(-1); });
  box.addEventListener("pointerdown", (e) => {
    down.set(e.pointerId, { x: e.clientX, y: e.clientY });
    if (down.size === 1) moved = 0;
      });
  box.addEventListener("pointermove", (e) => {
    const old = down.get(e.pointerId);
    if (!old) return;
    const now = { x: e.clientX, y: e.clientY };
    moved += Math.abs(now.x - old.x) + Math.abs(now.y - old.y);
    const scale = 1 / svg.getScreenCTM().a;
    if (down.size === 1) {
      if (self.zoomed() && moved > 4) {
        if (!box.hasPointerCapture(e.pointerId)) box.setPointerCapture(e.pointerId);
        box.classList.add("drag");
        set(at[0] - (now.x - old.x) * scale, at[1] - (now.y - old.y) * scale, at[2]);
      }
      down.set(e.pointerId, now);
      return;
    }
    const other = [...down].find(([id]) => id !== e.pointerId)[1];
    const before = Math.hypot(old.x - other.x, old.y - other.y);
    const after = Math.hypot(now.x - other.x, now.y - other.y);
    const mid = { clientX: (now.x + other.x) / 2, clientY: (now.y + other.y) / 2 };
    down.set(e.pointerId, now);
    set(at[0] - (now.x - old.x) * scale / 2, at[1] - (now.y - old.y) * scale / 2, at[2]);
    if (before > 0 && after > 0) zoom(after / before, toMM(mid));
  });
  function up(e) {
    if (!down.delete(e.pointerId)) return;
    if (!down.size) {
      box.classList.remove("drag");
      if (e.type === "pointerup" && moved < 8) pin(plyAt(e));
    }
  }
  box.addEventListener("pointerup", up);
  box.addEventListener("pointercancel", up);
  box.addEventListener("touchmove", (e) => { if (e.touches.length > 1 || box.classList.contains("near")) e.preventDefault(); }, { passive: false });
}

// ---- rows ----
const kits = all(".kit");
const rowAt = (e) => { const tr = e.target.closest && e.target.closest("tr[id]"); return tr ? numberOf(tr) : -1; };
const kitsBox = $("kits");
kitsBox.addEventListener("pointerover", (e) => { if (e.pointerType === "mouse") point(rowAt(e)); });
kitsBox.addEventListener("pointerleave", () => point(-1));
kitsBox.addEventListener("focusin", (e) => { const n = rowAt(e); if (n >= 0) pin(n); });
kitsBox.addEventListener("click", (e) => {
  if (e.target.closest("a, input, button, label")) return;
  const n = rowAt(e);
  if (n >= 0) pin(n);
});

// ---- links between row and ply ----
function go(el) {
  const n = numberOf(el);
  pin(n);
  if (el.tagName === "tr" || el.tagName === "TR") {
    el.tabIndex = -1;
    el.scrollIntoView({ block: "center" });
    el.focus({ preventScroll: true });
  } else {
    const v = viewOf(n);
    v.reveal(n);
    v.lay.scrollIntoView({ block: "start" });
    v.lay.querySelector(".view").focus({ preventScroll: true });
  }
}
document.addEventListener("click", (e) => {
  const a = e.target.closest && e.target.closest("a[href^='#p'], a[href^='#r']");
  const el = a && $(a.getAttribute("href").slice(1));
  if (!el || !/^[pr]\d+$/.test(el.id)) return;
  e.preventDefault();
  history.replaceState(null, "", "#" + el.id);
  go(el);
});
if (/^#[pr]\d+$/.test(location.hash)) {
  const el = $(location.hash.slice(1));
  if (el) setTimeout(() => go(el));
}

// ---- filters ----
const part = $("f-part"), unit = $("f-unit"), text = $("f-text"), tally = $("f-count");
const words = new Map();
function wordsOf(tr) {
  let s = words.get(tr);
  if (s === undefined) {
    s = tr.textContent.toLowerCase();
    words.set(tr, s);
  }
  return s;
}
function filter() {
  const want = text.value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  let hits = 0, total = 0;
  for (const k of kits) {
    const kitFits = (part.value === "" || part.value === k.dataset.part) && (unit.value === "" || unit.value === k.dataset.unit);
    let any = false;
    for (const tr of all("tr[id]", k)) {
      const fits = kitFits && (!want.length || want.every((w) => wordsOf(tr).includes(w)));
      total++;
      if (fits) { hits++; any = true; }
      if (tr.hidden === fits) tr.hidden = !fits;
      const ply = $("p" + numberOf(tr));
      if (ply) ply.classList.toggle("off", !fits);
    }
    for (const tr of all("tr.set", k)) tr.hidden = want.length > 0;
    k.hidden = !any;
  }
  $("none").hidden = hits > 0;
  tally.textContent = hits === total ? "" : hits + " of " + total + " plies";
}
let soon = 0;
part.addEventListener("change", filter);
unit.addEventListener("change", filter);
text.addEventListener("input", () => { clearTimeout(soon); soon = setTimeout(filter, 120); });
text.addEventListener("keydown", (e) => { if (e.key === "Escape") { text.value = ""; filter(); } });

// ---- switches ----
// They are rules of the style sheet and no class of the page: the copies that
// the locator and paper show know nothing of the page around them.
const sheet = document.styleSheets[0];
const rules = { names: ".nm{display:none}", numbers: ".no{display:none}", fibres: ".fib,.dat{display:none}", scrap: ".scr{visibility:visible}" };
let added = 0;
function switches() {
  for (; added > 0; added--) sheet.deleteRule(sheet.cssRules.length - 1);
  for (const box of all("[data-show]")) {
    const key = box.dataset.show;
    if (box.checked === (key === "scrap")) {
      sheet.insertRule(rules[key], sheet.cssRules.length);
      added++;
    }
  }
}
for (const box of all("[data-show]")) box.addEventListener("change", switches);
switches();
const tools = document.querySelector(".tools");
const wide = matchMedia("(min-width: 981px)");
const fit = () => { tools.open = wide.matches; };
wide.addEventListener("change", fit);
fit();

// ---- ticks ----
const ticks = all(".box input");
const store = "plyroom ticks " + document.body.dataset.plan;
function tallyKits() {
  for (const k of kits) {
    let got = 0;
    for (const tr of all("tr[id]", k)) {
      const box = tr.querySelector(".box input");
      tr.classList.toggle("got", box.checked);
      if (box.checked) got++;
    }
    k.querySelector(".got").textContent = got;
  }
}
try {
  const kept = (localStorage.getItem(store) || "").split(",").filter(Boolean).map(Number);
  for (const i of kept) if (ticks[i] && !ticks[i].disabled) ticks[i].checked = true;
} catch { /* the browser keeps nothing: ticks last as long as the page */ }
tallyKits();
document.addEventListener("change", (e) => {
  if (!e.target.closest || !e.target.closest(".box")) return;
  tallyKits();
  const on = [];
  ticks.forEach((t, i) => { if (t.checked) on.push(i); });
  try { localStorage.setItem(store, on.join(",")); } catch { /* as above */ }
});

// ---- small screens begin with the height of the fabric in full ----
if (matchMedia("(max-width: 640px)").matches) for (const v of views) v.high();

// ---- what hangs below the bar must know how tall it is ----
const bar = document.querySelector(".bar");
new ResizeObserver(() => {
  document.documentElement.style.setProperty("--bar-high", bar.offsetHeight + "px");
}).observe(bar);

// ---- which section is in view ----
const links = new Map(all(".bar nav a").map((a) => [a.getAttribute("href").slice(1), a]));
const seen = new IntersectionObserver((entries) => {
  for (const e of entries) if (e.isIntersecting) {
    for (const a of links.values()) a.removeAttribute("aria-current");
    links.get(e.target.id).setAttribute("aria-current", "true");
    if (e.target === kitsBox && !shown && views.length) locate(-1, viewOf(0) || views[0]);
  }
}, { rootMargin: "-20% 0px -75% 0px" });
for (const id of links.keys()) seen.observe($(id));

// ---- paper shows everything, whatever is zoomed or pointed at ----
// boxOf is where a ply lies, from its path: picture writes one absolute point
// and steps from it.
function boxOf(d) {
  const v = d.split("z")[0].match(/-?\d*\.?\d+/g).map(Number);
  let x = v[0], y = v[1];
  const b = [x, y, x, y];
  for (let i = 2; i < v.length; i += 2) {
    x += v[i];
    y += v[i + 1];
    b[0] = Math.min(b[0], x); b[1] = Math.min(b[1], y);
    b[2] = Math.max(b[2], x); b[3] = Math.max(b[3], y);
  }
  return b;
}
function svgPath(cls, d) {
  const path = document.createElementNS(svgNS, "path");
  path.setAttribute("class", cls);
  path.setAttribute("d", d);
  path.setAttribute("fill-rule", "evenodd");
  return path;
}
// textures draws the textures of a layer mark by mark. A pattern would go on
// paper as a coarse image of the whole strip for every ply, and make a large
// file.
function textures(svg, layer, name) {
  const [x0, , wide] = svg.getAttribute("viewBox").split(" ").map(Number);
  const kinds = new Map();
  for (const cut of all(".cut", layer)) {
    const d = cut.getAttribute("d"), b = boxOf(d);
    b[0] = Math.max(b[0], x0);
    b[2] = Math.min(b[2], x0 + wide);
    if (b[0] > b[2]) continue;
    const id = cut.getAttribute("fill").slice(5, -1);
    if (!kinds.has(id)) kinds.set(id, { d: "", boxes: [] });
    kinds.get(id).d += d;
    kinds.get(id).boxes.push(b);
  }
  const out = [];
  for (const [id, kind] of kinds) {
    const pattern = $(id), [tint, mark] = pattern.children;
    out.push(svgPath(tint.getAttribute("class"), kind.d));
    if (!mark) continue;
    const scale = parseFloat(pattern.getAttribute("patternTransform").slice("scale(".length));
    const side = 12 * scale;
    const tiles = new Set();
    for (const b of kind.boxes) {
      for (let i = Math.floor(b[0] / side); i * side < b[2]; i++) {
        for (let j = Math.floor(b[1] / side); j * side < b[3]; j++) tiles.add(i + " " + j);
      }
    }
    let d = "";
    for (const t of tiles) {
      const [i, j] = t.split(" ").map(Number);
      d += mark.getAttribute("d").replace(/M([\d.]+) ([\d.]+)/g,
        (_, x, y) => "M" + (Number(x) + 12 * i).toFixed(1) + " " + (Number(y) + 12 * j).toFixed(1));
    }
    const clip = document.createElementNS(svgNS, "clipPath");
    clip.id = name + id;
    clip.append(svgPath("", kind.d));
    clip.firstChild.setAttribute("clip-rule", "evenodd");
    const g = document.createElementNS(svgNS, "g");
    // In two pieces, for those who look for references in the page's text.
    g.setAttribute("clip-path", "url" + "(#" + clip.id + ")");
    g.append(svgPath(mark.getAttribute("class"), d));
    g.firstChild.setAttribute("transform", "scale(" + scale + ")");
    out.push(clip, g);
  }
  return out;
}
addEventListener("beforeprint", () => {
  light(-1);
  all(".strip").forEach((svg, i) => {
    const [ground, plies] = svg.dataset.use.split(" ");
    fill(svg, [ground, plies]);
    svg.firstChild.after(...textures(svg, $(plies), "strip" + i + "-"));
  });
  sheet.insertRule(".pl .cut{fill:none}", 0);
});
addEventListener("afterprint", () => {
  sheet.deleteRule(0);
  for (const svg of all(".strip")) svg.replaceChildren();
  light(pinned);
});
document.documentElement.dataset.ready = "yes";
})();
