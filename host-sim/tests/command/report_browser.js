// Runs in the report, at its end, and leaves in the document around it what it finds wrong: lists of
// complaints by subject, each empty where all is well.
{
  const found = {};
  const check = (subject, holds, what) => {
    found[subject] ??= [];
    if (!holds) found[subject].push(what);
  };
  const all = (selector) => [...document.querySelectorAll(selector)];
  const path = document.getElementById("path");
  const view = () => path.querySelector(".drawing").getAttribute("viewBox").split(" ").map(Number);
  const press = (key) => path.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true }));
  const near = (a, b) => a.every((value, i) => Math.abs(value - b[i]) < 1e-6 * (1 + Math.abs(value)));
  // What is lit: numbers of rows, of marks on the path, of marks on the speed plot; rings.
  const lit = () => JSON.stringify([
    ...["tr", "#path .mark", "#speed .mark"].map((kind) => all(`${kind}.on`).map((each) => each.dataset.place)),
    ...["path", "speed"].map((id) => {
      const halo = document.querySelector(`#${id} .halo`);
      return getComputedStyle(halo).visibility === "visible" ? halo.textContent : null;
    }),
  ]);
  const only = (number) => JSON.stringify([[number], [number], [number], number, number]);

  const rows = all("tr[data-place]");
  const whole = view();
  check("rows", rows.length === 30, `${rows.length} rows`);
  for (const row of rows) {
    const number = row.dataset.place;
    const link = row.querySelector("a");
    link.focus();
    check("focus on a row", document.activeElement === link && lit() === only(number), `${number}: ${lit()}`);
    for (const id of ["mark", "time"]) {
      const mark = document.getElementById(`${id}-${number}`);
      mark.focus();
      check("focus on a mark", document.activeElement === mark && lit() === only(number), `${id} ${number}: ${lit()}`);
      mark.blur();
      check("focus away", lit() === JSON.stringify([[], [], [], null, null]), `${id} ${number}: ${lit()}`);
      mark.querySelector("circle").dispatchEvent(new PointerEvent("pointerover", { bubbles: true }));
      check("pointing at a mark", lit() === only(number), `${id} ${number}: ${lit()}`);
    }
    row.cells[3].dispatchEvent(new PointerEvent("pointerover", { bubbles: true }));
    check("pointing at a row", lit() === only(number), `${number}: ${lit()}`);
    document.body.dispatchEvent(new PointerEvent("pointerover", { bubbles: true }));
  }

  // The ring stands where the drawing has the place.
  for (const row of rows.slice(0, 5)) {
    const number = row.dataset.place;
    row.querySelector("a").click();
    const at = document.querySelector(`#mark-${number} .at`);
    const [left, top, width, height] = view();
    const [x, y] = [at.dataset.x, at.dataset.y].map(Number);
    check("click on a row", width < whole[2] / 4, `${number}: ${view()}`);
    check("click on a row", x >= left && x <= left + width && y >= top && y <= top + height, `${number}: out of view`);
    const drawing = path.querySelector(".drawing");
    const point = drawing.createSVGPoint();
    [point.x, point.y] = [x, y];
    // From the drawing to the screen, as the browser draws it, and the mark as the browser draws it.
    const drawn = point.matrixTransform(drawing.querySelector("path").getScreenCTM());
    const [ring] = [path.querySelector(".halo .tie").getScreenCTM()];
    const off = Math.hypot(drawn.x - ring.e, drawn.y - ring.f);
    check("click on a row", off < 1.5, `${number}: mark ${off} px off`);
    check("click on a row", lit() === only(number), `${number}: ${lit()}`);
  }
  document.dispatchEvent(new KeyboardEvent("keydown", { key: "Escape", bubbles: true }));
  document.activeElement.blur();

  press("0");
  check("keys", near(view(), whole), `0: ${view()}`);
  press("+");
  const once = view();
  check("keys", once[2] < whole[2] && once[3] < whole[3], `+: ${once}`);
  check("keys", Math.abs(once[2] / once[3] - whole[2] / whole[3]) < 1e-6, `+ keeps the scale equal: ${once}`);
  for (const [key, index, sign] of [["ArrowRight", 0, 1], ["ArrowLeft", 0, -1], ["ArrowDown", 1, 1], ["ArrowUp", 1, -1]]) {
    const before = view();
    press(key);
    check("keys", Math.sign(view()[index] - before[index]) === sign, `${key}: ${before} to ${view()}`);
  }
  press("-");
  press("-");
  check("keys", near(view(), whole), `− goes no further than the whole: ${view()}`);
  for (let i = 0; i < 100; i += 1) press("+");
  check("keys", view()[2] >= 500, `+ a hundred times: ${view()}`);
  press("Home");

  for (const button of all(".buttons button")) {
    if (button.dataset.act === "all") continue;
    press("0");
    press("+");
    const before = view();
    button.click();
    check("buttons", !near(view(), before), `${button.dataset.act}: ${view()}`);
  }
  document.querySelector("[data-act=all]").click();
  check("buttons", near(view(), whole), `all: ${view()}`);

  const box = path.querySelector(".box");
  const { left, top, width, height } = box.getBoundingClientRect();
  const wheel = (deltaY) => box.dispatchEvent(new WheelEvent("wheel", {
    deltaY, clientX: left + width / 4, clientY: top + height / 4, bubbles: true, cancelable: true,
  }));
  check("wheel", wheel(200) === true && near(view(), whole), "the page scrolls where nothing is left to show");
  check("wheel", wheel(-200) === false && view()[2] < whole[2], `zoom: ${view()}`);
  const [x, y, w, h] = view();
  const away = Math.hypot(x + w / 4 - whole[0] - whole[2] / 4, y + h / 4 - whole[1] - whole[3] / 4);
  // Mouse events tell whole pixels, and the border is one wide.
  check("wheel", away < (2 * whole[2]) / width, `the point under it stays: ${view()}`);
  press("0");

  const drag = (type, id, across, down) => box.dispatchEvent(new PointerEvent(type, {
    pointerId: id, clientX: left + across * width, clientY: top + down * height, bubbles: true,
  }));
  box.setPointerCapture = null; // made-up pointers cannot be captured
  drag("pointerdown", 7, 0.4, 0.5);
  drag("pointerdown", 8, 0.6, 0.5);
  drag("pointermove", 7, 0.3, 0.5);
  drag("pointermove", 8, 0.7, 0.5);
  check("touch", Math.abs(view()[2] / whole[2] - 0.5) < 0.01, `pinch: ${view()}`);
  drag("pointerup", 8, 0.7, 0.5);
  const pinched = view();
  drag("pointermove", 7, 0.2, 0.5);
  check("touch", Math.abs(view()[0] - pinched[0] - 0.1 * pinched[2]) < 1e-3 * pinched[2], `drag: ${view()}`);
  drag("pointerup", 7, 0.2, 0.5);
  press("0");

  const page = document.documentElement;
  check("width", page.scrollWidth <= innerWidth, `${page.scrollWidth} in ${innerWidth}`);
  for (const link of all("a[href]")) {
    const target = link.getAttribute("href");
    check("links", target.startsWith("#") && document.getElementById(target.slice(1)), target);
  }
  for (const each of all("a[href], button, .scroll, #path")) {
    check("Tab", each.tabIndex === 0, each.outerHTML.slice(0, 80));
    check("Tab", (each.getAttribute("aria-label") ?? each.textContent).trim() !== "", "a stop without a name");
  }
  // Words keep their size, wherever they stand.
  for (const text of all(".picture text")) {
    const size = parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a;
    check("words", size >= 10.9, `${text.textContent}: ${size} px`);
  }

  // Contrast as WCAG 2.2 defines it (relative luminance, success criterion 1.4.3: 4.5 to 1).
  const rgb = (colour) => colour.match(/[\d.]+/g).map(Number);
  const luminance = (colour) => {
    const [r, g, b] = rgb(colour).map((value) => {
      const part = value / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const paper = (element) => {
    const disc = element.closest(".pin")?.querySelector("circle:last-of-type");
    const sheet = element.closest("figure svg")?.querySelector("rect");
    if (disc ?? sheet) return getComputedStyle(disc ?? sheet).fill;
    for (let at = element; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      if (rgb(colour)[3] !== 0) return colour;
    }
    return "rgb(255, 255, 255)";
  };
  let texts = 0;
  // Row 2 lit, so that its colours are seen too.
  rows[1].querySelector("a").focus();
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || element.closest("script, title, [hidden]")) continue;
    const style = getComputedStyle(element);
    const [one, other] = [element instanceof SVGElement ? style.fill : style.color, paper(element)].map(luminance);
    const contrast = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
    check("contrast", contrast >= 4.5, `${contrast.toFixed(2)}: ${walker.currentNode.data.slice(0, 40)}`);
    texts += 1;
  }
  check("contrast", texts > 300, `${texts} texts`);
  check("errors", errors.length === 0, errors.join("; "));

  const result = parent.document.createElement("pre");
  result.id = "result";
  result.textContent = JSON.stringify(found);
  parent.document.body.append(result);
}
