// Levels that are looked at instead of those that come in: set on a fixture's sheet, a group's or an aim's, marked on the picture, never sent.

import { el, fill, setText } from "./words.js";

const $ = id => document.getElementById(id);

export class AsIf {
  #of = null;

  constructor(link, say) {
    this.link = link;
    this.say = say;
    $("as-if-end").onclick = async () => { say(await link.ask("as-if-end")); };
    $("as-if-form").onsubmit = e => { e.preventDefault(); this.set([{ fixture: this.#of.name, channel: $("as-if-channel").value, raw: $("as-if-level").valueAsNumber }]); };
    $("as-if-channel").onchange = () => this.#limits();
    for (const [from, to] of [["as-if-level", "as-if-slide"], ["as-if-slide", "as-if-level"]]) $(from).addEventListener("input", () => { $(to).value = $(from).value; });
    $("as-if-slide").addEventListener("change", () => $("as-if-form").requestSubmit());
  }

  /** set: [{fixture, channel, raw}] */
  async set(set) { return this.say(await this.link.ask("as-if", { set })); }

  /** The channels of the fixture that is picked; null for none. */
  showFixture(f) {
    this.#of = f;
    $("as-if-on").hidden = !f;
    if (!f) return;
    const chosen = $("as-if-channel").value;
    fill($("as-if-channel"), { of: f.name, names: f.channels.filter(c => c.address).map(c => c.name) }, d => d.names.map(n => el("option", { value: n }, n)));
    if ([...$("as-if-channel").options].some(o => o.value === chosen)) $("as-if-channel").value = chosen;
    if (!$("as-if-form").contains(document.activeElement)) this.#limits();
  }

  #limits() {
    const c = this.#of?.channels.find(x => x.name === $("as-if-channel").value);
    for (const id of ["as-if-level", "as-if-slide"]) { $(id).max = c?.full ?? 0; $(id).value = c?.raw ?? 0; }
    $("as-if-form").querySelector("button").disabled = !c;
  }

  /** Whether, and what of, the picture is only as if; this page may end it when it is its own or it leads. */
  showState(asIf, mine) {
    $("as-if-box").hidden = !asIf;
    $("as-if-end").hidden = !mine;
    document.body.classList.toggle("as-if", !!asIf);
    if (!asIf) return;
    const many = (n, what) => `${n} ${what}${n === 1 ? "" : "s"}`;
    setText($("as-if-words"), `◇ as if: ${many(asIf.levels, "level")} of ${many(asIf.fixtures, "fixture")}, not sent`);
    $("as-if-words").title = asIf.newest.map(l => `${l.fixture}, ${l.channel} at ${l.raw}`).join("; ");
  }
}
