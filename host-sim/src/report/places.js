// The places: a row of the table and its marks on the pictures are shown together, whichever of them
// is pointed at or focused.
function linkPlaces() {
  const path = document.getElementById("path");
  if (!path) return;
  const view = pathView(path, document.querySelector(".buttons"));
  spread(document.getElementById("speed"));
  const pictures = [path, document.getElementById("speed")];
  document.documentElement.classList.add("scripted");
  document.querySelector(".with-script").hidden = false;
  const told = document.querySelector(".told");
  const row = (number) => document.getElementById(`place-${number}`);
  const mark = (number) => document.getElementById(`mark-${number}`);
  let chosen = null; // by a click
  let shown = null;

  function placeHalos() {
    for (const picture of pictures) {
      const halo = picture.querySelector(".halo");
      const of = shown && picture.querySelector(`.mark[data-place="${shown}"]`);
      halo.classList.toggle("on", Boolean(of) && !of.classList.contains("off"));
      if (!of) continue;
      const at = of.querySelector(".at");
      for (const name of ["x", "y"]) halo.setAttribute(name, at.getAttribute(name));
      const [, dx, dy] = at.querySelector(".pin").getAttribute("transform").split(/[( )]/);
      setPin(halo, dx, dy);
      halo.querySelector("text").textContent = shown;
    }
  }

  function show(number) {
    if (number === shown) return;
    shown = number;
    for (const old of document.querySelectorAll("[data-place].on")) old.classList.remove("on");
    told.textContent = "";
    if (number) {
      for (const now of document.querySelectorAll(`[data-place="${number}"]`)) now.classList.add("on");
      const [line, lost] = [1, 2].map((cell) => row(number).cells[cell].firstChild.textContent);
      told.textContent = `${number}: line ${line}, ${lost} s lost: ${row(number).querySelector(".why").textContent}`;
      if (mark(number).classList.contains("off")) view.bring(mark(number).querySelector(".at"));
    }
    placeHalos();
  }

  const placeOf = (target) => target.closest?.("[data-place]")?.dataset.place ?? null;
  const resting = () => placeOf(document.activeElement ?? document.body) ?? chosen;
  document.addEventListener("pointerover", (event) => show(placeOf(event.target) ?? resting()));
  document.addEventListener("focusin", (event) => show(placeOf(event.target) ?? chosen));
  document.addEventListener("focusout", (event) => event.relatedTarget || show(chosen));
  path.addEventListener("view", placeHalos);
  new ResizeObserver(() => { spread(pictures[1]); placeHalos(); }).observe(pictures[1]);

  // A click on a row, or Enter on its number, shows the path there close; a mark leads to its row
  // by itself.
  document.addEventListener("click", (event) => {
    const number = placeOf(event.target);
    // A row of which a part was selected is not meant to be shown.
    if (!number || (event.detail && !getSelection().isCollapsed)) return;
    chosen = number;
    if (event.target.closest("tr")) {
      event.preventDefault();
      view.near(mark(number).querySelector(".at"));
      path.scrollIntoView({ block: "nearest" });
    }
    show(number);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") show(chosen = null);
  });

  const named = /^#(?:place|mark|time)-(\d+)$/.exec(location.hash);
  if (named && row(named[1])) show(chosen = named[1]);
}
linkPlaces();
