// node table.mjs DIR: what each comparer says at its defaults of the planted pairs in DIR (made by table.sh), as a Markdown table.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createRequire } from 'node:module';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

const { ODiffServer } = createRequire(import.meta.url)('odiff-bin');
const folder = process.argv[2];
const server = new ODiffServer();
const rows = [];
const right = { stageview: 0, other: 0, perceptual: 0, pixelmatch: 0, odiff: 0 };
const pairs = JSON.parse(readFileSync(join(folder, 'pairs.json'), 'utf8'));
for (const pair of pairs) {
  const file = side => join(folder, `${String(pair.index).padStart(2, '0')}-${side}.png`);
  const a = PNG.sync.read(readFileSync(file('before'))), b = PNG.sync.read(readFileSync(file('after')));
  const odiff = await server.compare(file('before'), file('after'), join(folder, 'difference.png'));
  const counts = {
    stageview: pair.levels, other: pair.other, perceptual: pair.perceptual,
    pixelmatch: pixelmatch(a.data, b.data, undefined, a.width, a.height),
    odiff: odiff.match ? 0 : odiff.diffCount ?? -1,
  };
  const cells = Object.entries(counts).map(([who, n]) => {
    const ok = (n !== 0) === pair.change;
    right[who] += ok ? 1 : 0;
    return ok ? (pair.change ? `caught (${n})` : 'passed') : (pair.change ? '**missed**' : `**alarm** (${n})`);
  });
  rows.push(`| ${pair.name} | ${pair.change ? 'change' : 'noise'} | ${cells.join(' | ')} |`);
}
server.stop();
console.log(`| planted pair (640x360) | is | StageView, default | StageView, another renderer | StageView, perceptual | pixelmatch 8.0.0 | odiff 4.5.0 |
| --- | --- | --- | --- | --- | --- | --- |
${rows.join('\n')}
| right of ${pairs.length} | | ${right.stageview} | ${right.other} | ${right.perceptual} | ${right.pixelmatch} | ${right.odiff} |`);
process.exit(0);
