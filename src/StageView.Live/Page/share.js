// A still with its data to share.

/** Hands a still on: to another app where the device can, else as a download. */
export async function share(link, say, name, held) {
  const a = await link.ask("still", { name });
  if (!a.ok) { say(a); return; }
  const bytes = Uint8Array.from(atob(a.data.png), c => c.charCodeAt(0)), file = new File([bytes], a.data.file, { type: "image/png" });
  if (held && navigator.canShare?.({ files: [file] })) {
    try { await navigator.share({ files: [file], title: a.data.file }); return; } catch (e) { if (e.name === "AbortError") return; }
  }
  const to = document.createElement("a");
  to.href = URL.createObjectURL(file);
  to.download = a.data.file;
  to.click();
  setTimeout(() => URL.revokeObjectURL(to.href), 60000);
  say({ ok: true, text: `${a.data.file}: the picture, with time, camera and levels inside it.` });
}
