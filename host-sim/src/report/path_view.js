"use strict";

// Sets marks that would cover each other beside each other, within the box, each tied to its spot.
function spread(picture) {
  const AWAY = 17;
  const box = picture.querySelector(".box");
  const [width, height] = [box.clientWidth, box.clientHeight];
  // Close by, a mark stands beside its spot, so that the path there can be seen.
  const near = picture.classList.contains("near");
  const tries = near ? [] : [[0, 0]];
  for (let ring = near ? 2 : 1; ring <= 6; ring += 1) {
    for (let turn = 0; turn < 8 * ring; turn += 1) {
      // Upwards first: below the start stand its words.
      const angle = -(2 * Math.PI * (turn + 0.5)) / (8 * ring);
      tries.push([ring * AWAY * Math.cos(angle), ring * AWAY * Math.sin(angle)]);
    }
  }
  const placed = [];
  // Too narrow for numbers: the style sheet makes dots of them.
  const dots = picture.id === "speed" && width < 400;
  for (const mark of picture.querySelectorAll(".mark:not(.off)")) {
    const at = mark.querySelector(".at");
    const [x, y] = [part(at, "x", width), part(at, "y", height)];
    const inside = (value, size) => Math.min(Math.max(value, AWAY / 2), size - AWAY / 2);
    const start = [inside(x, width), inside(y, height)];
    const spots = tries.map(([dx, dy]) => [start[0] + dx, start[1] + dy]);
    const free = ([a, b]) => inside(a, width) === a && inside(b, height) === b
      && placed.every(([c, d]) => Math.hypot(a - c, b - d) >= AWAY - 1);
    const spot = dots ? [x, y] : spots.find(free) ?? spots[0];
    placed.push(spot);
    setPin(at, spot[0] - x, spot[1] - y);
  }
}

// An attribute in per cent, of `whole`.
function part(element, name, whole) {
  return (parseFloat(element.getAttribute(name)) / 100) * whole;
}

function setPin(at, dx, dy) {
  at.querySelector(".pin").setAttribute("transform", `translate(${dx} ${dy})`);
  at.querySelector(".tie").setAttribute("x2", dx);
  at.querySelector(".tie").setAttribute("y2", dy);
}

// The path: zooms and pans by the view box of its drawing. Grid, numbers and marks stand in per cent
// of the box around it, and are put where the view asks.
function pathView(picture, buttons) {
  const SVG = "http://www.w3.org/2000/svg";
  const MM = 1000; // units of the drawing
  const box = picture.querySelector(".box");
  const grid = picture.querySelector(".grid");
  const drawing = picture.querySelector(".drawing");
  const spots = [...picture.querySelectorAll("[data-x]")];
  const shown = buttons.querySelector("output");
  const whole = drawing.getAttribute("viewBox").split(" ").map(Number);
  const least = Math.min(whole[2], Math.max(whole[2] / 2000, 0.5 * MM));
  let [x, y, width] = whole;
  const height = () => (width * whole[3]) / whole[2];
  const within = (value, low, high) => Math.min(Math.max(value, low), high);

  function show(left, top, wide) {
    width = within(wide, least, whole[2]);
    x = within(left, whole[0], whole[0] + whole[2] - width);
    y = within(top, whole[1], whole[1] + whole[3] - height());
    drawing.setAttribute("viewBox", `${x} ${y} ${width} ${height()}`);
    for (const spot of spots) {
      const across = (spot.dataset.x - x) / width;
      const down = (spot.dataset.y - y) / height();
      spot.setAttribute("x", `${100 * across}%`);
      spot.setAttribute("y", `${100 * down}%`);
      const out = Math.max(Math.abs(across - 0.5), Math.abs(down - 0.5)) > 0.501;
      (spot.closest(".mark") ?? spot).classList.toggle("off", out);
    }
    const times = whole[2] / width;
    picture.classList.toggle("near", times > 8);
    // One finger scrolls the page, until there is something to move here.
    box.style.touchAction = times > 1.001 ? "none" : "pan-x pan-y";
    shown.textContent = times > 1.001 ? `${times.toFixed(times < 10 ? 1 : 0)}×` : "";
    fit();
  }

  function fit() {
    drawGrid();
    spread(picture);
    picture.dispatchEvent(new Event("view"));
  }

  function draw(tag, attributes, text) {
    const made = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    if (text) made.textContent = text;
    grid.append(made);
  }

  // Round values, no closer than the numbers at them are wide.
  function ticks(from, size, pixels, apart) {
    const about = (size * apart) / Math.max(pixels, 1);
    const power = 10 ** Math.floor(Math.log10(about));
    const step = power * [1, 2, 5, 10].find((digit) => digit * power >= about);
    const first = Math.ceil(from / step);
    const count = Math.floor((from + size) / step) - first + 1;
    return Array.from({ length: Math.max(count, 0) }, (_, i) => (first + i) * step);
  }

  function drawGrid() {
    grid.replaceChildren();
    const high = height();
    for (const at of ticks(x / MM, width / MM, box.clientWidth, 70)) {
      const place = `${(100 * (at * MM - x)) / width}%`;
      draw("line", { x1: place, x2: place, y1: 0, y2: "100%" });
      draw("text", { class: "across", x: place, y: "100%", dy: "1.3em" }, `${+at.toFixed(4)}`);
    }
    for (const at of ticks(-(y + high) / MM, high / MM, box.clientHeight, 40)) {
      const place = `${(100 * (-at * MM - y)) / high}%`;
      draw("line", { x1: 0, x2: "100%", y1: place, y2: place });
      draw("text", { class: "up", x: 0, y: place, dx: "-0.5em", dy: "0.35em" }, `${+at.toFixed(4)}`);
    }
  }

  // Zooms so that a point of the box, 0 to 1 each way, stays where it is.
  function zoom(by, across = 0.5, down = 0.5) {
    const wide = within(width / by, least, whole[2]);
    const high = (wide * whole[3]) / whole[2];
    show(x + across * (width - wide), y + down * (height() - high), wide);
  }

  const move = (across, down) => show(x + across * width, y + down * height(), width);

  // Brings a spot of the drawing into the view, and with `wide` close.
  function bring(spot, wide = width) {
    const at = [spot.dataset.x, spot.dataset.y].map(Number);
    const high = (wide * whole[3]) / whole[2];
    show(at[0] - wide / 2, at[1] - high / 2, wide);
  }

  const acts = {
    in: () => zoom(1.5),
    out: () => zoom(1 / 1.5),
    left: () => move(-0.2, 0),
    right: () => move(0.2, 0),
    up: () => move(0, -0.2),
    down: () => move(0, 0.2),
    all: () => show(...whole),
  };
  const keys = {
    "+": "in", "=": "in", "-": "out", "−": "out", 0: "all", Home: "all",
    ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
  };

  picture.tabIndex = 0;
  picture.setAttribute("role", "group");
  picture.setAttribute("aria-label", "Path: plus and minus zoom, arrows move, 0 shows the whole path");
  picture.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    acts[act]();
  });
  buttons.hidden = false;
  buttons.addEventListener("click", (event) => acts[event.target.dataset?.act]?.());

  const share = (event) => {
    const { left, top, width: wide, height: high } = box.getBoundingClientRect();
    return [(event.clientX - left) / wide, (event.clientY - top) / high];
  };
  box.addEventListener("wheel", (event) => {
    const by = Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.002));
    // Nothing more to show: let the page scroll.
    if (event.ctrlKey === false && by < 1 && width >= whole[2]) return;
    event.preventDefault();
    zoom(by, ...share(event));
  }, { passive: false });

  // One pointer moves, two pinch.
  const pointers = new Map();
  let moved = false;
  box.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    pointers.set(event.pointerId, share(event));
    moved = false;
  });
  box.addEventListener("pointermove", (event) => {
    const before = pointers.get(event.pointerId);
    if (!before) return;
    const now = share(event);
    const apart = ([a, b]) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 1e-3;
    if (pointers.size === 1) {
      if (!moved && apart([before, now]) < 0.01) return;
      move(before[0] - now[0], before[1] - now[1]);
    } else {
      const old = apart([...pointers.values()].slice(0, 2));
      pointers.set(event.pointerId, now);
      const both = [...pointers.values()].slice(0, 2);
      zoom(apart(both) / old, (both[0][0] + both[1][0]) / 2, (both[0][1] + both[1][1]) / 2);
    }
    moved = true;
    box.setPointerCapture?.(event.pointerId);
    pointers.set(event.pointerId, now);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    box.addEventListener(end, (event) => pointers.delete(event.pointerId));
  }
  box.addEventListener("dragstart", (event) => event.preventDefault());
  // The end of a drag is not a click on the mark that it ends on.
  box.addEventListener("click", (event) => {
    if (moved) event.preventDefault(), event.stopPropagation();
    moved = false;
  }, true);

  new ResizeObserver(fit).observe(box);
  show(...whole);
  return {
    bring,
    near: (spot) => bring(spot, Math.min(width, Math.max(whole[2] / 12, 2 * MM))),
  };
}
