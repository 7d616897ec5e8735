// node time.mjs BEFORE AFTER [ROUNDS]: times in ms (best of the rounds, and for the server the mean of its processor time) of odiff's server mode, odiff as a command, and pixelmatch with pngjs, on one pair of PNG files.
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

async function best(run) {
  const times = [];
  for (let i = 0; i < Number(rounds) + 2; i++) {
    const start = performance.now();
    await run();
    if (i >= 2) { times.push(performance.now() - start); }
  }
  return Math.min(...times);
}

/** Processor time of this process's child (hundredths of a second in fields 14 and 15 of /proc/PID/stat), ms a round; null off Linux. */
async function processorTime(run) {
  try {
    const child = readFileSync(`/proc/${process.pid}/task/${process.pid}/children`, 'utf8').trim().split(' ')[0];
    const used = () => {
      const fields = readFileSync(`/proc/${child}/stat`, 'utf8').split(') ').at(-1).split(' ');
      return 10 * (Number(fields[11]) + Number(fields[12]));
    };
    const [start, n] = [used(), 20];
    for (let i = 0; i < n; i++) { await run(); }
    return (used() - start) / n;
  } catch { return null; }
}

const server = new ODiffServer();
// The server always wants a file for the difference; it writes one when there is any.
const odiffServer = await best(() => server.compare(before, after, drawn));
const odiffServerCpu = await processorTime(() => server.compare(before, after, drawn));
server.stop();
const binary = findBinary();
const odiffCommand = await best(() => spawnSync(binary, [before, after]));
const pixelmatchTime = await best(() => {
  const a = PNG.sync.read(readFileSync(before)), b = PNG.sync.read(readFileSync(after));
  return pixelmatch(a.data, b.data, undefined, a.width, a.height);
});
console.log(JSON.stringify({ odiffServer, odiffServerCpu, odiffCommand, pixelmatch: pixelmatchTime }));
process.exit(0);
