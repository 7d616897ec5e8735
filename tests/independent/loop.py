"""A switch that is wrong, as a loop or a second path makes it: loop.py FROM TO TIMES [DELAY]. Each frame that comes in at the interface FROM goes out at TO
so many times, at once, or but for the first after DELAY seconds (packet sockets, Linux). UDP checksums, which a veth pair leaves to a card that isn't
there, are taken out (0: none, RFC 768). Prints "ready"; ends with its input."""
import collections
import select
import socket
import sys
import time

ETH_P_ALL, PACKET_OUTGOING = 3, 4
come, go, times = sys.argv[1], sys.argv[2], int(sys.argv[3])
delay = float(sys.argv[4]) if len(sys.argv) > 4 else 0
inlet = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, socket.htons(ETH_P_ALL))
inlet.bind((come, 0))
outlet = socket.socket(socket.AF_PACKET, socket.SOCK_RAW, 0)
outlet.bind((go, 0))
late = collections.deque()
print("ready", flush=True)
while True:
    wait = max(0, late[0][0] - time.monotonic()) if late else 1
    ready, _, _ = select.select([inlet, sys.stdin], [], [], wait)
    while late and late[0][0] <= time.monotonic():
        outlet.send(late.popleft()[1])
    if sys.stdin in ready and not sys.stdin.buffer.raw.read(1):
        break
    if inlet in ready:
        frame, address = inlet.recvfrom(65535)
        if address[2] == PACKET_OUTGOING:
            continue
        if frame[12:14] == b"\x08\x00" and frame[23] == socket.IPPROTO_UDP:
            check = 14 + 4 * (frame[14] & 15) + 6
            frame = frame[:check] + b"\0\0" + frame[check + 2:]
        outlet.send(frame)
        for _ in range(times - 1):
            if delay:
                late.append((time.monotonic() + delay, frame))
            else:
                outlet.send(frame)
