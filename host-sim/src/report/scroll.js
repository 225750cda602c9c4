// Says of what is wider than the page that there is more at the side.
function sayWider() {
  for (const region of document.querySelectorAll(".scroll")) {
    region.classList.toggle("wider", region.scrollWidth > region.clientWidth + 1);
  }
}
addEventListener("resize", sayWider);
sayWider();
