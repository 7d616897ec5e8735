// node time.mjs BEFORE AFTER [ROUNDS]: times in ms (medians) of odiff's server mode, odiff as a command, and pixelmatch with pngjs, on one pair of PNG files.
import { readFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createRequire } from 'node:module';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

const require = createRequire(import.meta.url);
const { ODiffServer } = require('odiff-bin');
const { findBinary } = require('odiff-bin/binary.js');
const [before, after, rounds = '9'] = process.argv.slice(2);
const drawn = join(tmpdir(), `stageview-rival-${process.pid}.png`);

async function median(run) {
  const times = [];
  for (let i = 0; i < Number(rounds) + 2; i++) {
    const start = performance.now();
    await run();
    if (i >= 2) { times.push(performance.now() - start); }
  }
  return times.sort((a, b) => a - b)[times.length >> 1];
}

const server = new ODiffServer();
// The server always wants a file for the difference; it writes one when there is any.
const odiffServer = await median(() => server.compare(before, after, drawn));
server.stop();
const binary = findBinary();
const odiffCommand = await median(() => spawnSync(binary, [before, after]));
const pixelmatchTime = await median(() => {
  const a = PNG.sync.read(readFileSync(before)), b = PNG.sync.read(readFileSync(after));
  return pixelmatch(a.data, b.data, undefined, a.width, a.height);
});
console.log(JSON.stringify({ odiffServer, odiffCommand, pixelmatch: pixelmatchTime }));
process.exit(0);
