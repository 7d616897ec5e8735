// The tools in one row: what has no room in it waits in the menu at its end.

/** @param row Its children with a rank go, the highest first; the button of the menu is its last child. */
export function oneRow(row, menu, button) {
  const ranked = [...row.querySelectorAll("[data-rank]")], own = menu.firstElementChild;
  const settle = () => {
    if (menu.matches(":popover-open")) return;
    const focused = document.activeElement;
    for (const tool of ranked) row.insertBefore(tool, button);
    for (const tool of [...ranked].sort((a, b) => b.dataset.rank - a.dataset.rank)) {
      if (row.scrollWidth <= row.clientWidth) break;
      menu.insertBefore(tool, ranked.filter(t => t.parentElement === menu).find(t => +t.dataset.rank > +tool.dataset.rank) ?? own);
    }
    if (document.activeElement !== focused && row.contains(focused)) focused.focus();
  };
  const sizes = new ResizeObserver(settle);
  for (const e of [row, ...ranked]) sizes.observe(e);

  const place = () => {
    const b = button.getBoundingClientRect();
    menu.style.right = `${Math.max(4, innerWidth - b.right)}px`;
    menu.style.bottom = `${innerHeight - b.top + 6}px`;
  };
  menu.addEventListener("beforetoggle", e => { if (e.newState === "open") place(); });
  // Higher than what is over the row, it covers the row, too.
  const fit = () => {
    const b = button.getBoundingClientRect();
    menu.style.bottom = `${Math.max(4, Math.min(innerHeight - b.top + 6, innerHeight - menu.offsetHeight - 4))}px`;
  };
  menu.addEventListener("toggle", e => { if (e.newState === "open") fit(); button.setAttribute("aria-expanded", e.newState === "open"); });
  addEventListener("resize", () => { if (menu.matches(":popover-open")) { place(); fit(); } });
  // What was chosen has been done; a slider is drawn on.
  menu.addEventListener("click", e => { if (e.target.closest("button")) menu.hidePopover(); });
}
