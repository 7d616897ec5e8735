# Levels, synchronisation, discovery and termination by the Python library sacn (PyPI, MIT): python3 sync.py PORT UNIVERSE SYNC_ADDRESS,
# then lines on standard input: flush N (levels, then a synchronisation packet), hold N (levels that wait for one), offer, stop.
import socket
import sys
import time

import sacn
import sacn.sending.sender_socket_udp as udp
from sacn.messages.universe_discovery import UniverseDiscoveryPacket

port, universe, address = (int(a) for a in sys.argv[1:])
udp.DEFAULT_PORT = port
sender = sacn.sACNsender(bind_address="127.0.0.1", bind_port=0, source_name="a synchronised library", universeDiscovery=False, sync_universe=address)
handler = sender._sender_handler
handler.socket._socket.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton("127.0.0.1"))
sender.manual_flush = True
sender.activate_output(universe)
output = sender[universe]
output.multicast = True
print("sending", flush=True)
for line in sys.stdin:
    word, *value = line.split()
    if value:
        output.dmx_data = (int(value[0]),) * 512
    if word == "flush":
        sender.flush()
    elif word == "hold":
        output._packet.syncAddr = address
        handler.send_out(output, time.time())
    elif word == "offer":
        for packet in UniverseDiscoveryPacket.make_multiple_uni_disc_packets(handler._CID, handler._source_name, [universe, universe + 7]):
            handler.socket.send_multicast(packet, "239.255.250.214", 8)
    elif word == "stop":
        sender.deactivate_output(universe)
    print("done", flush=True)
