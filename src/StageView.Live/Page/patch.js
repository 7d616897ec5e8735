// JSON Patch (RFC 6902) with add, remove and replace, on copies: what was handed out before stays as it was.

const unescaped = step => step.replaceAll("~1", "/").replaceAll("~0", "~");

/** The document with the operations done to it; only what lies on their paths is copied. */
export function patched(document, patch) {
  return patch.reduce((d, { op, path, value }) => at(d, path.split("/").slice(1).map(unescaped), op, value), document);
}

function at(node, [step, ...rest], op, value) {
  if (step === undefined) return value;
  if (node === null || typeof node !== "object") throw new Error(`a patch goes below ${step}, and there is nothing`);
  const list = Array.isArray(node), copy = list ? [...node] : { ...node };
  const i = list ? step === "-" ? node.length : +step : step;
  if (rest.length) copy[i] = at(node[i], rest, op, value);
  else if (op === "remove") { if (list) copy.splice(i, 1); else delete copy[i]; }
  else if (list && op === "add") copy.splice(i, 0, value);
  else copy[i] = value;
  return copy;
}
