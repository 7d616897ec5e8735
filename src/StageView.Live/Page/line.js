// One line to be typed over the picture: the text of a note, the name of a view.

const $ = id => document.getElementById(id);

let done = null, leave = null;
$("line-form").onsubmit = e => { e.preventDefault(); end(done); };
$("line-cancel").onclick = () => end(leave);
$("line").onkeydown = e => { if (e.key === "Escape") { e.stopPropagation(); end(leave); } };

function end(then) {
  const text = $("line").value.trim(), back = !$("line-form").hidden;
  $("line-form").hidden = true;
  [done, leave] = [null, null];
  if (back) $("picture").focus({ preventScroll: true });
  then?.(text);
}

/**
 * Asks for a line; one that was being typed is taken as it stands.
 * @param save Called with the text. @param cancel Called when it is left, or nothing.
 */
export function askLine(label, text, save, { most = 200, word = "Save", cancel = null } = {}) {
  if (!$("line-form").hidden) end(done);
  $("line-label").textContent = label;
  $("line-save").textContent = word;
  $("line").maxLength = most;
  $("line").value = text;
  [done, leave] = [save, cancel];
  $("line-form").hidden = false;
  $("line").focus();
  $("line").select();
}
