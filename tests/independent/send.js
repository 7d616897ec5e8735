// Sends levels by other people's libraries until it is ended: node send.js KIND PORT UNIVERSE LEVEL [PRIORITY]
// KIND: e131 (multicast on 127.0.0.1, marked as preview; the line "stop" on standard input ends it with three terminated packets, E1.31 §6.2.6), sacn-unicast, sacn-multicast (both on 127.0.0.1), artnet, dmxnet. All 512 addresses get LEVEL. Prints "sending" when it does.
const [kind, port, universe, level, priority] = [process.argv[2], ...process.argv.slice(3).map(Number)];
const all = (value) => Object.fromEntries(Array.from({ length: 512 }, (_, i) => [i + 1, value]));

if (kind.startsWith('sacn')) {
  const { Sender } = require('sacn');
  const sender = new Sender({
    universe, port, iface: '127.0.0.1', reuseAddr: true,
    useUnicastDestination: kind === 'sacn-unicast' ? '127.0.0.1' : undefined,
    defaultPacketOptions: { sourceName: 'an independent desk', priority: priority || 100, useRawDmxValues: true, cid: Buffer.alloc(16, 64 + (priority || 100)) },
  });
  setInterval(() => sender.send({ payload: all(level) }).catch((e) => { console.error(e); process.exit(1); }), 25);
} else if (kind === 'artnet') {
  const artnet = require('artnet')({ host: '127.0.0.1', port, sendAll: true });
  setInterval(() => artnet.set(universe, 1, Array(512).fill(level)), 25);
  artnet.set(universe, 1, Array(512).fill(level));
  setInterval(() => artnet.send(universe, 512), 50);
} else if (kind === 'dmxnet') {
  const { dmxnet } = require('dmxnet');
  const net = new dmxnet({ log: { level: 'error' }, listen: port + 1000 });
  const sender = net.newSender({ ip: '127.0.0.1', port, subnet: universe >> 4, universe: universe & 15, net: 0 });
  setInterval(() => { for (let i = 0; i < 512; i++) sender.prepChannel(i, level); sender.transmit(); }, 25);
} else if (kind === 'e131') {
  const e131 = require('e131');
  const client = new e131.Client(universe, port);
  client._socket.bind(0, '127.0.0.1', () => client._socket.setMulticastInterface('127.0.0.1'));
  const packet = client.createPacket(512);
  packet.setUniverse(universe);
  packet.setSourceName('an independent library');
  packet.setCID(Buffer.alloc(16, 0x31));
  packet.setPriority(priority || 100);
  packet.setOption(packet.Options.PREVIEW, true);
  const slots = packet.getSlotsData();
  slots.fill(level);
  packet.setSlotsData(slots);
  const feed = setInterval(() => client.send(packet), 25);
  require('readline').createInterface({ input: process.stdin }).on('line', (line) => {
    if (line !== 'stop') return;
    clearInterval(feed);
    packet.setOption(packet.Options.TERMINATED, true);
    slots.fill(0);
    const last = (left) => left && client.send(packet, () => setTimeout(last, 25, left - 1));
    last(3);
  });
} else {
  console.error('unknown kind ' + kind);
  process.exit(2);
}
console.log('sending');
