// node dark.mjs DIR COUNT: what pixelmatch and odiff at their defaults count in the pairs NN-before.png, NN-after.png of DIR, as JSON.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createRequire } from 'node:module';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

const { ODiffServer } = createRequire(import.meta.url)('odiff-bin');
const [folder, count] = [process.argv[2], Number(process.argv[3])];
const server = new ODiffServer();
const counts = { pixelmatch: [], odiff: [] };
for (let i = 0; i < count; i++) {
  const file = side => join(folder, `${String(i).padStart(2, '0')}-${side}.png`);
  const a = PNG.sync.read(readFileSync(file('before'))), b = PNG.sync.read(readFileSync(file('after')));
  counts.pixelmatch.push(pixelmatch(a.data, b.data, undefined, a.width, a.height));
  const odiff = await server.compare(file('before'), file('after'), join(folder, 'difference.png'));
  counts.odiff.push(odiff.match ? 0 : odiff.diffCount ?? -1);
}
server.stop();
console.log(JSON.stringify(counts));
process.exit(0);
