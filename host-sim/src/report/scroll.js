// Says of what is wider than the page that there is more at the side.
{
  const watch = new ResizeObserver((entries) => {
    for (const { target } of entries) {
      target.classList.toggle("wider", target.scrollWidth > target.clientWidth + 1);
    }
  });
  for (const region of document.querySelectorAll(".scroll")) watch.observe(region);
}
