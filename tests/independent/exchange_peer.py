# A station of MVR-xchange in TCP mode, written from the standard's text (DIN SPEC 15801, communication format; RFC 1035, 6762, 6763) with Python's own
# library alone: python3 exchange_peer.py GROUP ADDRESS NAMES_PORT NAME UUID [table|example]
# "table" writes messages as the standard's tables have them, "example" as its examples do (no _RET, texts for flags and numbers, Files for Commits).
# Standard input, a word a line, each answered by one line: stations, commits, commit FILE COMMENT, take UUID OUT, join, leave, quit.
import json
import os
import socket
import struct
import sys
import threading
import time
import uuid

group, address, names_port, name, own = sys.argv[1:6]
names_port = int(names_port)
tables = (sys.argv[6:] or ["table"])[0] == "table"
SERVICE = ["_mvrxchange", "_tcp", "local"]
HOST = ["peer-" + own[:8], "local"]
INSTANCE = [name + " " + own[:8]] + SERVICE
GROUP = [group] + SERVICE
found, commits, files = {}, {}, {}
lock = threading.Lock()

server = socket.socket()
server.bind((address, 0))
server.listen(8)
port = server.getsockname()[1]


# Names.
def packed(labels):
    return b"".join(bytes([len(label.encode())]) + label.encode() for label in labels) + b"\0"


def record(labels, kind, flush, ttl, content):
    return packed(labels) + struct.pack(">HHIH", kind, 1 | (0x8000 if flush else 0), ttl, len(content)) + content


def text(value):
    return bytes([len(value.encode())]) + value.encode()


def message(ttl=None):
    def lasts(seconds):
        return seconds if ttl is None else ttl
    records = [
        record(SERVICE, 12, False, lasts(4500), packed(INSTANCE)),
        record(GROUP, 12, False, lasts(4500), packed(INSTANCE)),
        record(INSTANCE, 33, True, lasts(120), struct.pack(">HHH", 0, 0, port) + packed(HOST)),
        record(INSTANCE, 16, True, lasts(4500), text("StationName=" + name) + text("StationUUID=" + own)),
        record(HOST, 1, True, lasts(120), socket.inet_aton(address)),
    ]
    return struct.pack(">HHHHHH", 0, 0x8400, 0, len(records), 0, 0) + b"".join(records)


def query():
    return struct.pack(">HHHHHH", 0, 0, 1, 0, 0, 0) + packed(GROUP) + struct.pack(">HH", 12, 1)


def unpacked(data, at):
    labels, end = [], None
    while data[at]:
        if data[at] & 0xC0 == 0xC0:
            end = at + 2 if end is None else end
            at = (data[at] & 0x3F) << 8 | data[at + 1]
            continue
        labels.append(data[at + 1:at + 1 + data[at]].decode())
        at += 1 + data[at]
    return labels, at + 1 if end is None else end


names = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
names.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
names.bind(("224.0.0.251", names_port))
names.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, socket.inet_aton("224.0.0.251") + socket.inet_aton(address))
names.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_IF, socket.inet_aton(address))
names.setsockopt(socket.IPPROTO_IP, socket.IP_MULTICAST_TTL, 255)


def say(data):
    names.sendto(data, ("224.0.0.251", names_port))


def heed(data):
    _, flags, questions, answers, authority, other = struct.unpack(">HHHHHH", data[:12])
    at = 12
    asked = False
    for _ in range(questions):
        labels, at = unpacked(data, at)
        at += 4
        asked = asked or labels in (SERVICE, GROUP, INSTANCE, HOST)
    if not flags & 0x8000:
        if asked:
            say(message())
        return
    members, services, texts, hosts, gone = [], {}, {}, {}, []
    for _ in range(answers + authority + other):
        labels, at = unpacked(data, at)
        kind, _, ttl, length = struct.unpack(">HHIH", data[at:at + 10])
        at += 10
        if kind == 12 and labels == GROUP:
            (members if ttl else gone).append(tuple(unpacked(data, at)[0]))
        elif kind == 33:
            services[tuple(labels)] = (struct.unpack(">H", data[at + 4:at + 6])[0], tuple(unpacked(data, at + 6)[0]))
        elif kind == 16:
            content, values = data[at:at + length], {}
            while content:
                key, _, value = content[1:1 + content[0]].decode().partition("=")
                values[key] = value
                content = content[1 + content[0]:]
            texts[tuple(labels)] = values
        elif kind == 1:
            hosts[tuple(labels)] = socket.inet_ntoa(data[at:at + length])
        at += length
    with lock:
        for member in members:
            if member != tuple(INSTANCE) and member in services and services[member][1] in hosts:
                values = texts.get(member, {})
                found[values.get("StationUUID", "").lower()] = (values.get("StationName"), hosts[services[member][1]], services[member][0])
        for member in gone:
            for key in [k for k, v in found.items() if texts.get(member, {}).get("StationUUID", "").lower() == k]:
                del found[key]


def listen():
    while True:
        try:
            heed(names.recv(9000))
        except (IndexError, struct.error, UnicodeDecodeError):
            pass


# Packets and messages.
def packet(kind, payload, pieces=1):
    size = -(-len(payload) // pieces) or 1
    parts = [payload[i:i + size] for i in range(0, len(payload), size)] or [b""]
    return b"".join(struct.pack(">IIIIIQ", 778682, 1, i, len(parts), kind, len(p)) + p for i, p in enumerate(parts))


def whole(connection, length):
    data = b""
    while len(data) < length:
        more = connection.recv(length - len(data))
        if not more:
            raise EOFError
        data += more
    return data


def received(connection):
    data, kind = b"", 0
    while True:
        header, version, number, count, kind, length = struct.unpack(">IIIIIQ", whole(connection, 28))
        assert (header, version) == (778682, 1), (header, version)
        data += whole(connection, length)
        if number + 1 == count:
            return kind, data


def line(file):
    content, comment = files[file]
    size = len(content)
    return {"FileUUID": file, "StationUUID": own, "verMajor": 1, "verMinor": 6, "FileSize": size if tables else str(size), "ForStationsUUID": [],
            "Comment": comment, "FileName": "from the peer.mvr"}


def joining():
    return {"Provider": "test peer", "StationName": name, "StationUUID": own, "verMajor": 1, "verMinor": 6,
            "Commits" if tables else "Files": [line(f) for f in files]}


def answer(kind, ok, words="", more=None):
    body = {"Type": kind + ("_RET" if tables else ""), "OK": ok if tables else str(ok).lower(), "Message": words}
    return json.dumps(body | (more or {})).encode()


def heard(station, said):
    with lock:
        for c in said.get("Commits", []):
            commits[c["FileUUID"].lower()] = (station.lower(), c["FileSize"], c["Comment"])


def serve(connection):
    try:
        while True:
            _, data = received(connection)
            said = json.loads(data)
            kind = said["Type"]
            if kind == "MVR_JOIN":
                heard(said["StationUUID"], said)
                connection.sendall(packet(0, answer(kind, True, more=joining()), 3))
            elif kind == "MVR_COMMIT":
                heard(said["StationUUID"], {"Commits": [said]})
                connection.sendall(packet(0, answer(kind, True)))
            elif kind == "MVR_LEAVE":
                with lock:
                    found.pop(said["FromStationUUID"].lower(), None)
                connection.sendall(packet(0, answer(kind, True)))
            elif kind == "MVR_REQUEST":
                file = said["FileUUID"].lower() or next(reversed(files), "")
                if file in files:
                    # In packets of any size, and those in pieces of any size.
                    data = packet(1, files[file][0], 7)
                    for i in range(0, len(data), 1000):
                        connection.sendall(data[i:i + 1000])
                else:
                    connection.sendall(packet(0, answer(kind, False, "that file is not at this peer")))
            else:
                connection.sendall(packet(0, answer(kind, False, "not known")))
    except EOFError:
        connection.close()


def doors():
    while True:
        connection, _ = server.accept()
        threading.Thread(target=serve, args=(connection,), daemon=True).start()


def ask(station, body):
    _, host, at = found[station]
    with socket.create_connection((host, at), timeout=20, source_address=(address, 0)) as connection:
        data = packet(0, json.dumps(body).encode(), 2)
        for i in range(0, len(data), 11):
            connection.sendall(data[i:i + 11])
        return received(connection)


def ask_all(body):
    return [json.loads(ask(station, body)[1]) for station in list(found)]


threading.Thread(target=listen, daemon=True).start()
threading.Thread(target=doors, daemon=True).start()
say(message())
say(query())
print(json.dumps({"port": port}), flush=True)
for words in sys.stdin:
    word, *rest = words.strip().split(" ", 2)
    out = {}
    if word == "stations":
        say(query())
        time.sleep(.3)
        out = {"stations": {k: v[0] for k, v in found.items()}}
    elif word == "commits":
        out = {"commits": {k: {"station": v[0], "size": v[1], "comment": v[2]} for k, v in commits.items()}}
    elif word == "join":
        answers = ask_all({"Type": "MVR_JOIN"} | joining())
        for a in answers:
            heard(a["StationUUID"], a)
        out = {"answers": answers}
    elif word == "commit":
        file = str(uuid.uuid4())
        files[file] = (open(rest[0], "rb").read(), rest[1])
        out = {"file": file, "answers": ask_all({"Type": "MVR_COMMIT"} | line(file))}
    elif word == "take":
        station = commits[rest[0].lower()][0]
        kind, data = ask(station, {"Type": "MVR_REQUEST", "FileUUID": rest[0], "FromStationUUID": [station] if tables else station})
        if kind == 1:
            open(rest[1], "wb").write(data)
        out = {"kind": kind, "bytes": len(data)}
    elif word == "leave":
        out = {"answers": ask_all({"Type": "MVR_LEAVE", ("FromStationUUID" if tables else "StationUUID"): own})}
    elif word == "quit":
        say(message(0))
        break
    print(json.dumps(out), flush=True)
