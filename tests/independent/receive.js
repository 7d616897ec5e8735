// npm sacn's receiver: node receive.js PORT UNIVERSES. Prints "ready", and after a second of silence: packets, CPU seconds.
const { Receiver } = require('sacn');
const [port, universes] = process.argv.slice(2).map(Number);
const receiver = new Receiver({ universes: [1], port, iface: '127.0.0.1', reuseAddr: true });
let packets = 0, before = -1, start;
receiver.on('packet', (packet) => { if (packets++ === 0) start = process.cpuUsage(); if (!packet.payload) process.exit(4); });
receiver.on('error', (e) => { console.error(e); process.exit(3); });
setTimeout(() => {
  // Its filter on universes is widened once it listens, without joining groups: the bench sends unicast.
  receiver.universes = Array.from({ length: universes }, (_, i) => i + 1);
  console.log('ready');
}, 500);
setInterval(() => {
  if (packets > 0 && packets === before) {
    const use = process.cpuUsage(start);
    console.log(`${packets} ${(use.user + use.system) / 1e6}`);
    process.exit(0);
  }
  before = packets;
}, 1000);
