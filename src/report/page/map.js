"use strict";
// Moves the maps of the page: by pointer, wheel, keys, buttons, and to a finding that is followed.
// Without it the page shows the same, standing still.
(() => {
  const LEVELS = [27, 13.5, 6.7, 3.4];
  const calm = matchMedia("(prefers-reduced-motion: reduce)");

  function live(svg) {
    const home = svg.viewBox.baseVal;
    const whole = { x: home.x, y: home.y, w: home.width, h: home.height };
    let view = { ...whole }, wanted = 0;

    function perPixel() {
      const box = svg.getBoundingClientRect();
      return Math.max(view.w / Math.max(box.width, 1), view.h / Math.max(box.height, 1));
    }
    function draw() {
      wanted = 0;
      svg.setAttribute("viewBox", [view.x, view.y, view.w, view.h].map(v => v.toFixed(1)).join(" "));
      const u = perPixel();
      svg.style.setProperty("--u", u.toFixed(3));
      LEVELS.forEach((most, i) => svg.style.setProperty("--l" + i, i === 0 || u <= most * 1.2 ? "inline" : "none"));
    }
    function show(next) {
      const w = Math.min(Math.max(next.w, 150), whole.w * 1.5), h = w * whole.h / whole.w;
      view = {
        w, h,
        x: Math.min(Math.max(next.x + (next.w - w) / 2, whole.x - w / 2), whole.x + whole.w - w / 2),
        y: Math.min(Math.max(next.y + (next.h - h) / 2, whole.y - h / 2), whole.y + whole.h - h / 2),
      };
      if (!wanted) wanted = requestAnimationFrame(draw);
    }
    const pan = (right, down) => show({ ...view, x: view.x + right * view.w, y: view.y + down * view.h });
    function zoom(by, at) {
      const p = at || { x: view.x + view.w / 2, y: view.y + view.h / 2 };
      const w = Math.min(Math.max(view.w / by, 150), whole.w * 1.5), k = w / view.w;
      show({ x: p.x - (p.x - view.x) * k, y: p.y - (p.y - view.y) * k, w, h: view.h * k });
    }
    function placeOf(event) {
      const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      return { x: p.x, y: p.y };
    }
    function goTo(sign) {
      const at = sign.querySelector("g[transform]").transform.baseVal.consolidate().matrix;
      const w = Math.min(1200, whole.w), h = w * whole.h / whole.w;
      svg.querySelectorAll("a.here").forEach(a => a.classList.remove("here"));
      sign.classList.add("here");
      show({ x: at.e - w / 2, y: at.f - h / 2, w, h });
      svg.scrollIntoView({ block: "center", behavior: calm.matches ? "auto" : "smooth" });
    }

    const acts = {
      ArrowLeft: () => pan(-0.2, 0), ArrowRight: () => pan(0.2, 0), ArrowUp: () => pan(0, -0.2),
      ArrowDown: () => pan(0, 0.2), "+": () => zoom(1.5), "=": () => zoom(1.5), "-": () => zoom(1 / 1.5),
      0: () => show(whole),
    };
    svg.tabIndex = 0;
    svg.addEventListener("keydown", event => {
      if (event.ctrlKey || event.metaKey || event.altKey || !acts[event.key]) return;
      acts[event.key]();
      event.preventDefault();
    });
    svg.addEventListener("wheel", event => { // a page that is scrolled past is not caught
      if (!event.ctrlKey && document.activeElement !== svg) return;
      zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, placeOf(event));
      event.preventDefault();
    }, { passive: false });
    svg.addEventListener("dblclick", event => zoom(2, placeOf(event)));

    const down = new Map();
    let moved = 0;
    svg.addEventListener("pointerdown", event => {
      down.set(event.pointerId, { x: event.clientX, y: event.clientY });
      if (down.size === 1) moved = 0;
    });
    svg.addEventListener("pointermove", event => {
      const last = down.get(event.pointerId);
      if (!last) return;
      const u = perPixel(), now = { x: event.clientX, y: event.clientY };
      const other = [...down].filter(([id]) => id !== event.pointerId).map(([, p]) => p)[0];
      moved += Math.hypot(now.x - last.x, now.y - last.y);
      if (other) {
        const before = Math.hypot(last.x - other.x, last.y - other.y), after = Math.hypot(now.x - other.x, now.y - other.y);
        if (before > 0 && after > 0) zoom(after / before, placeOf({ clientX: other.x, clientY: other.y }));
      } else {
        show({ ...view, x: view.x - (now.x - last.x) * u, y: view.y - (now.y - last.y) * u });
      }
      if (moved > 5 && !svg.hasPointerCapture(event.pointerId)) svg.setPointerCapture(event.pointerId);
      down.set(event.pointerId, now);
    });
    for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, event => down.delete(event.pointerId));
    svg.addEventListener("click", event => { if (moved > 5) event.preventDefault(); }, true);
    svg.addEventListener("dragstart", event => event.preventDefault());

    const knobs = document.createElement("div");
    knobs.className = "knobs";
    knobs.setAttribute("role", "group");
    knobs.setAttribute("aria-label", "Move the map");
    for (const [sign, label, key] of [["+", "closer", "+"], ["−", "farther", "-"], ["←", "to the west", "ArrowLeft"],
      ["→", "to the east", "ArrowRight"], ["↑", "to the north", "ArrowUp"], ["↓", "to the south", "ArrowDown"],
      ["whole route", "whole route", "0"]]) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = sign;
      button.setAttribute("aria-label", label);
      button.addEventListener("click", acts[key]);
      knobs.append(button);
    }
    svg.after(knobs);
    svg.parentElement.classList.add("live");
    addEventListener("resize", () => show(view));
    addEventListener("beforeprint", () => { svg.setAttribute("viewBox", [whole.x, whole.y, whole.w, whole.h].join(" ")); });
    addEventListener("afterprint", draw);
    draw();
    return goTo;
  }

  const maps = [...document.querySelectorAll("svg.map")].map(svg => ({ svg, goTo: live(svg) }));
  function follow() {
    const sign = document.getElementById(location.hash.slice(1));
    for (const map of maps) if (sign && map.svg.contains(sign) && sign !== map.svg) map.goTo(sign);
  }
  let folded = []; // paper has no folds
  addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll("details:not([open])")];
    folded.forEach(one => { one.open = true; });
  });
  addEventListener("afterprint", () => folded.forEach(one => { one.open = false; }));
  addEventListener("hashchange", follow);
  document.addEventListener("click", event => { // the same finding again
    const link = event.target.closest && event.target.closest('a[href^="#"]');
    if (link && link.getAttribute("href") === location.hash) follow();
  });
  follow();
})();
