// The tabs as a rail beside the details, which fold away and leave the rail.

/** What this browser keeps for the page, or nothing. */
export const kept = {
  get(key) { try { return localStorage.getItem(key); } catch { return null; } },
  set(key, value) { try { localStorage.setItem(key, value); } catch { /* This browser keeps nothing for the page. */ } },
};

export class Rail {
  #fold = document.getElementById("fold");
  #tabs = document.getElementById("tabs");

  /** @param narrow Whether the rail lies over the details instead of beside them. */
  constructor(narrow) {
    this.#fold.onclick = () => this.fold(!this.folded);
    this.#tabs.addEventListener("click", () => this.fold(false));
    this.#tabs.addEventListener("keydown", e => {
      const step = { ArrowDown: 1, ArrowUp: -1 }[e.key];
      if (!step) return;
      const all = [...this.#tabs.children].filter(t => !t.hidden), to = all[(all.indexOf(document.activeElement) + step + all.length) % all.length];
      e.preventDefault();
      to.click();
      to.focus();
    });
    const lies = () => this.#tabs.setAttribute("aria-orientation", narrow.matches ? "horizontal" : "vertical");
    narrow.addEventListener("change", lies);
    lies();
    this.fold(kept.get("folded") === "true");
  }

  get folded() { return document.body.classList.contains("folded"); }

  fold(on) {
    document.body.classList.toggle("folded", on);
    this.#fold.setAttribute("aria-expanded", !on);
    document.getElementById("fold-word").textContent = on ? "Unfold" : "Fold";
    kept.set("folded", on);
  }
}
