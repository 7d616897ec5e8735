// Invitations: a link and a code that let one device in, once.

import { el } from "./words.js";

const $ = id => document.getElementById(id);

export function inviting(say) {
  if (!/^(127\.|localhost$|\[::1\]$)/.test(location.hostname)) $("invite").hidden = false;
  for (const role of ["look", "lead"]) $("invite-" + role).onclick = async () => {
    const answer = await fetch("/invitation?role=" + role).catch(() => null);
    if (!answer?.ok) { say({ ok: false, text: "no invitation can be made now" }); return; }
    const { link, qr, fingerprint } = await answer.json();
    $("invited").hidden = false;
    $("invited").replaceChildren(
      el("img", { alt: "The link as a QR code", src: "data:image/svg+xml," + encodeURIComponent(qr) }),
      el("p", {}, el("strong", {}, link)),
      el("p", { class: "small" }, role === "lead" ? "For one device, once: it may do everything, lead too." : "For one device, once: it looks, and opens what it likes for itself."),
      ...fingerprint ? [el("p", { class: "small" }, "Its browser will warn of the certificate. Go on only if the SHA-256 fingerprint that it shows is"), el("p", { class: "path" }, fingerprint)] : []);
    $("invited").scrollIntoView({ block: "nearest" });
  };
}
