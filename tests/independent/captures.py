"""Capture files by scapy (Debian python3-scapy): captures.py FOLDER PAYLOAD_HEX. Each file holds three frames, 10 ms and some nanoseconds apart, that
carry the payload from 10.0.0.1 (or fe80::1) port 4000 to 239.255.0.7 (or ff18::8300:7) port 5568; the last byte of the payload counts them."""
import sys
from scapy.config import conf
conf.ipv6_enabled = True
from scapy.layers.inet import IP, UDP
from scapy.layers.inet6 import IPv6
from scapy.layers.l2 import CookedLinux, CookedLinuxV2, Dot1AD, Dot1Q, Ether, Loopback
from scapy.packet import Raw
from scapy.utils import EDecimal, PcapNgWriter, PcapWriter

folder, payload = sys.argv[1], bytes.fromhex(sys.argv[2])


def datagrams(six=False):
    for n in range(3):
        ip = IPv6(src="fe80::1", dst="ff18::8300:7") if six else IP(src="10.0.0.1", dst="239.255.0.7")
        yield ip / UDP(sport=4000, dport=5568) / Raw(payload[:-1] + bytes([n]))


ether = lambda: Ether(src="02:00:00:00:00:01", dst="01:00:5e:7f:00:07")
# By link type as tcpdump.org registers it.
links = {
    "ether": (1, lambda p: ether() / p, False),
    "vlan": (1, lambda p: ether() / Dot1Q(vlan=5) / p, False),
    "vlans": (1, lambda p: ether() / Dot1AD(vlan=7) / Dot1Q(vlan=5) / p, False),
    "ether6": (1, lambda p: ether() / p, True),
    "vlan6": (1, lambda p: ether() / Dot1Q(vlan=5) / p, True),
    "sll": (113, lambda p: CookedLinux(pkttype=2, lladdrtype=1, lladdrlen=6, src=b"\2\0\0\0\0\1") / p, False),
    "sll6": (113, lambda p: CookedLinux(pkttype=2, lladdrtype=1, lladdrlen=6, src=b"\2\0\0\0\0\1") / p, True),
    "sll2": (276, lambda p: CookedLinuxV2(pkttype=2, lladdrtype=1, lladdrlen=6, src=b"\2\0\0\0\0\1", ifindex=3) / p, False),
    "null": (0, lambda p: Loopback(type=2) / p, False),
    "raw": (101, lambda p: p, False),
    "raw6": (101, lambda p: p, True),
    "rawip4": (228, lambda p: p, False),
    "rawip6": (229, lambda p: p, True),
}
for name, (link, frame, six) in links.items():
    for order in ("<", ">"):
        for nano in (False, True):
            file = f"{folder}/{name}-{'little' if order == '<' else 'big'}-{'nano' if nano else 'micro'}.pcap"
            with PcapWriter(file, linktype=link, endianness=order, nano=nano) as writer:
                for n, p in enumerate(datagrams(six)):
                    p = frame(p)
                    p.time = EDecimal("1767323045.000000200") + n * EDecimal("0.010000100")
                    writer.write(p)
for name, order in (("ether", "<"), ("ether-big", ">")):
    with PcapNgWriter(f"{folder}/{name}.pcapng") as writer:
        writer.endian = order
        if order == ">":
            writer.endian_magic = writer.endian_magic[::-1]
        for n, p in enumerate(datagrams()):
            p = ether() / p
            p.time = EDecimal("1767323045.000000") + n * EDecimal("0.010000")
            writer.write(p)
