// npm sacn's receiver: node levels.js PORT PACKETS. Prints "ready", then universe, sequence and levels (hex) of each packet, and ends after so many.
const { Receiver } = require('sacn');
const [port, packets] = process.argv.slice(2).map(Number);
const receiver = new Receiver({ universes: [1], port, iface: '127.0.0.1', reuseAddr: true });
let seen = 0;
receiver.on('packet', (packet) => {
  console.log(`${packet.universe} ${packet.sequence} ${packet.payloadAsBuffer.toString('hex')}`);
  if (++seen === packets) process.exit(0);
});
receiver.on('error', (e) => { console.error(e); process.exit(3); });
setTimeout(() => console.log('ready'), 300);
