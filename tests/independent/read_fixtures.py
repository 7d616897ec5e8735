"""An independent reader of GDTF and MVR files: read_fixtures.py FILE... prints what each says as JSON, an object by file.

Written from DIN SPEC 15800:2022 (GDTF 1.2) and DIN SPEC 15801:2023 (MVR 1.6), with Python's own zip and XML modules, matrices multiplied here. Matrices are
lists of 16 numbers, row by row, for column vectors, in metres. Where the standards are silent the reading is StageView's: pan turns right-handed about the
geometry's Z, then tilt about its X; a mode master that names a function means its channel; of an MVR fixture with a break 0, breaks count from 0.

GDTF: footprints, geometries with their names along references, channels of each instance with offsets, defaults and functions; and for three rounds of levels
(level() below) the physical values and where every geometry is. MVR: fixtures, meshes of pieces and focus points with their world matrices, and addresses."""
import io
import json
import math
import sys
import xml.etree.ElementTree as ET
import zipfile

GEOMETRIES = {"Geometry", "Axis", "FilterBeam", "FilterColor", "FilterGobo", "FilterShaper", "Beam", "MediaServerLayer", "MediaServerCamera",
              "MediaServerMaster", "Display", "GeometryReference", "Laser", "WiringObject", "Inventory", "Structure", "Support", "Magnet"}
ROUNDS = 3
IDENTITY = [1.0 if i % 5 == 0 else 0.0 for i in range(16)]


def level(brk, offset, turn):
    """The level of a break's offset in a round, the same as in the test."""
    return (offset * 37 + brk * 101 + turn * 59 + 13) % 256


def times(a, b):
    return [sum(a[4 * r + k] * b[4 * k + c] for k in range(4)) for r in range(4) for c in range(4)]


def product(*matrices):
    result = IDENTITY
    for m in matrices:
        result = times(result, m)
    return result


def about(axis, degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    m = list(IDENTITY)
    i, j = (1, 2) if axis == "x" else (0, 1)
    m[5 * i], m[4 * i + j], m[4 * j + i], m[5 * j] = c, -s, s, c
    return m


def numbers(text):
    return [float(n) for n in text.replace("{", " ").replace("}", " ").replace(",", " ").split()]


def dmx_value(text, width):
    """"v/n" in width bytes: its bytes repeat, or with s are followed by zeros; where it has more bytes the highest stay."""
    value, _, size = text.partition("/")
    shifted = size.endswith("s")
    count = int(size.rstrip("s") or 1)
    own = int(value).to_bytes(count, "big")
    wide = (own + bytes(width)) if shifted else own * width
    return int.from_bytes(wide[:width], "big")


class Instance:
    """A geometry of the mode's tree, references followed."""

    def __init__(self, name, element, placed, parent, references):
        self.name, self.element, self.parent, self.references = name, element, parent, references
        self.local = numbers(placed.get("Position")) if placed.get("Position") else IDENTITY
        self.names = {element.get("Name"), placed.get("Name")}

    def line(self):
        at, line = self, []
        while at:
            line.insert(0, at)
            at = at.parent
        return line


def expand(fixture_type, root_name):
    tops = {g.get("Name"): g for g in fixture_type.find("Geometries")}
    found = []

    def walk(element, placed, parent, before, references):
        if element.tag == "GeometryReference":
            walk(tops[element.get("Geometry")], element, parent, before, references + [element])
            return
        here = Instance(" ".join(before + [placed.get("Name")]), element, placed, parent, references)
        found.append(here)
        inner = before + [placed.get("Name")] if placed is not element else before
        for child in element:
            if child.tag in GEOMETRIES:
                walk(child, child, here, inner, references)

    walk(tops[root_name], tops[root_name], None, [], [])
    return found


def addresses(channel, instance):
    """Break and offsets: the channel's own, moved on by the Break of each reference from the innermost outwards."""
    brk, text = channel.get("DMXBreak", "1"), channel.get("Offset", "")
    if text in ("", "None"):
        return (int(brk) if brk.isdigit() else 1), []
    offsets = [int(o) for o in text.split(",")]
    for reference in reversed(instance.references):
        breaks = reference.findall("Break")
        chosen = breaks[-1] if brk == "Overwrite" else next(b for b in breaks if b.get("DMXBreak", "1") == brk)
        brk = chosen.get("DMXBreak", "1")
        offsets = [o + int(chosen.get("DMXOffset", "1")) - 1 for o in offsets]
    return (1 if brk == "Overwrite" else int(brk)), offsets


def nearest(channels, template, instance):
    """A link names a geometry of the file; an instance means the channel that shares the longest way from the root with it."""
    best, shared = -1, -1
    for i, c in enumerate(channels):
        if c["template"] == template:
            common = 0
            for a, b in zip(c["instance"].line(), instance.line()):
                if a is not b:
                    break
                common += 1
            if c["instance"] is instance:
                common += 1000
            if common > shared:
                best, shared = i, common
    return best


def read_channels(mode, instances):
    channels = []
    for element in mode.iterfind("DMXChannels/DMXChannel"):
        named = element.get("Geometry")
        attribute = element.find("LogicalChannel").get("Attribute")
        for instance in instances:
            if instance.element.get("Name") == named or named in instance.names:
                brk, offsets = addresses(element, instance)
                channels.append({"instance": instance, "element": element, "template": f"{named}_{attribute}", "geometry": instance.name,
                                 "break": brk, "offsets": offsets})
    for channel in channels:
        width = max(1, len(channel["offsets"]))
        channel["width"] = width
        functions = [read_function(f, channel, channels) for f in channel["element"].iterfind("LogicalChannel/ChannelFunction")]
        initial = channel["element"].get("InitialFunction", "").split(".")[-1]
        first = next((f for f in functions if f["name"] == initial), functions[0])
        written = first.pop("default") or channel["element"].get("Default") or "0/1"
        channel["default"] = dmx_value(written, width)
        highlight = channel["element"].get("Highlight", "None")
        channel["highlight"] = None if highlight == "None" else dmx_value(highlight, width)
        for f in functions:
            f.pop("default", None)
            later = [o["from"] for o in functions if o["from"] > f["from"] and meet(f, o)]
            f["to"] = min(later) - 1 if later else 256 ** width - 1
        for f in functions:
            read_sets(f, width)
        channel["functions"] = functions
    return channels


def meet(a, b):
    """Whether both can be active at the same time."""
    return a["master"] != b["master"] or a["master"] < 0 or (a["modeFrom"] <= b["modeTo"] and b["modeFrom"] <= a["modeTo"])


def read_function(f, channel, channels):
    width = channel["width"]
    master, low, high = -1, 0, 0
    if f.get("ModeMaster"):
        master = nearest(channels, f.get("ModeMaster").split(".")[0], channel["instance"])
        wide = max(1, len(channels[master]["offsets"]))
        low, high = dmx_value(f.get("ModeFrom", "0/1"), wide), dmx_value(f.get("ModeTo", "0/1"), wide)
    return {"name": f.get("Name"), "attribute": f.get("Attribute", "NoFeature"), "from": dmx_value(f.get("DMXFrom", "0/1"), width),
            "physicalFrom": float(f.get("PhysicalFrom", "0")), "physicalTo": float(f.get("PhysicalTo", "1")), "default": f.get("Default"),
            "master": master, "modeFrom": low, "modeTo": high, "element": f}


def read_sets(f, width):
    sets = []
    for s in f.pop("element").iterfind("ChannelSet"):
        start = dmx_value(s.get("DMXFrom", "0/1"), width)
        if f["from"] <= start <= f["to"]:
            sets.append({"name": s.get("Name", ""), "from": start, "states": s.get("PhysicalFrom") is not None or s.get("PhysicalTo") is not None,
                         "physicalFrom": float(s.get("PhysicalFrom", f["physicalFrom"])), "physicalTo": float(s.get("PhysicalTo", f["physicalTo"]))})
    sets.sort(key=lambda s: s["from"])
    for s, following in zip(sets, sets[1:] + [None]):
        s["to"] = following["from"] - 1 if following else f["to"]
    f["sets"] = sets


def physical(channels, turn):
    """The physical value of every channel in a round of levels; None where no function is active."""
    raws = []
    for c in channels:
        raw = 0
        for o in c["offsets"]:
            raw = raw * 256 + level(c["break"], o, turn)
        raws.append(raw if c["offsets"] else c["default"])
    values = []
    for c, raw in zip(channels, raws):
        active = [f for f in c["functions"] if f["from"] <= raw <= f["to"]
                  and (f["master"] < 0 or f["modeFrom"] <= raws[f["master"]] <= f["modeTo"])]
        if not active:
            values.append((None, None))
            continue
        f = max(active, key=lambda a: a["master"])
        row = next((s for s in reversed(f["sets"]) if s["from"] <= raw <= s["to"] and s["states"]), f)
        share = (raw - row["from"]) / (row["to"] - row["from"]) if row["to"] > row["from"] else 0.0
        values.append((f["attribute"], row["physicalFrom"] + share * (row["physicalTo"] - row["physicalFrom"])))
    return values


def places(instances, channels, values):
    """World matrices of all geometries, the fixture standing at the origin."""
    world = {}
    for instance in instances:
        turns = {"Pan": 0.0, "Tilt": 0.0}
        for c, (attribute, value) in zip(channels, values):
            if c["instance"] is instance and attribute in turns:
                turns[attribute] = value
        parent = world[instance.parent] if instance.parent else IDENTITY
        world[instance] = product(parent, instance.local, about("z", turns["Pan"]), about("x", turns["Tilt"]))
    return [world[i] for i in instances]


def read_mode(fixture_type, mode):
    instances = expand(fixture_type, mode.get("Geometry"))
    channels = read_channels(mode, instances)
    rounds = [physical(channels, turn) for turn in range(ROUNDS)]
    still = places(instances, [], [])
    moved = [places(instances, channels, values) for values in rounds]
    used = [(c["break"], o) for c in channels for o in c["offsets"]]
    relations = []
    for r in mode.iterfind("Relations/Relation"):
        link = r.get("Follower").split(".")
        for i, c in enumerate(channels):
            if c["template"] == link[0]:
                leader = nearest(channels, r.get("Master").split(".")[0], c["instance"])
                relations += [[leader, i, f["name"], r.get("Type")] for f in c["functions"] if len(link) < 3 or f["name"] == link[-1]]
    return {
        "name": mode.get("Name"),
        "footprints": [max((o for b, o in used if b == brk), default=0) for brk in range(1, max((b for b, _ in used), default=1) + 1)],
        "geometry": [{"name": g.name, "rest": still[i], "moved": [m[i] for m in moved]} for i, g in enumerate(instances)],
        "channels": [{**{k: c[k] for k in ("geometry", "break", "offsets", "default", "highlight", "functions")},
                      "physical": [values[i][1] for values in rounds]} for i, c in enumerate(channels)],
        "relations": relations,
    }


def read_gdtf(archive):
    fixture_type = ET.fromstring(archive.read("description.xml")).find("FixtureType")
    return {"modes": [read_mode(fixture_type, m) for m in fixture_type.iterfind("DMXModes/DMXMode")]}


def mvr_matrix(element):
    """Rows u, v, w, o of three in millimetres, for row vectors: turned over, and in metres."""
    text = element.findtext("Matrix")
    if not text:
        return IDENTITY
    n = numbers(text)
    return [n[0], n[3], n[6], n[9] / 1000, n[1], n[4], n[7], n[10] / 1000, n[2], n[5], n[8], n[11] / 1000, 0.0, 0.0, 0.0, 1.0]


class Scene:
    def __init__(self, archive):
        self.archive, self.types = archive, {}
        root = ET.fromstring(archive.read("GeneralSceneDescription.xml"))
        self.symbols = {s.get("uuid"): s for s in root.iterfind("Scene/AUXData/Symdef")}
        self.fixtures, self.pieces, self.focus = [], [], []
        for layer in root.iterfind("Scene/Layers/Layer"):
            self.walk(layer.find("ChildList"), mvr_matrix(layer), None)

    def part(self, fixture, path):
        """Where a geometry of a fixture is at rest, by its names from the root."""
        spec = fixture.findtext("GDTFSpec")
        with zipfile.ZipFile(io.BytesIO(self.archive.read(spec))) as gdtf:
            at = ET.fromstring(gdtf.read("description.xml")).find("FixtureType/Geometries")
        place = IDENTITY
        for name in path.split("."):
            at = next(g for g in at if g.get("Name") == name)
            place = times(place, numbers(at.get("Position")) if at.get("Position") else IDENTITY)
        return place

    def walk(self, children, parent, fixture):
        for e in children if children is not None else []:
            path = (e.findtext("ChildPosition") or "").strip()
            within = times(parent, self.part(fixture, path)) if fixture is not None and path else parent
            world = times(within, mvr_matrix(e))
            if e.tag == "Fixture":
                self.fixtures.append({"name": e.get("name"), "world": world, "addresses": self.patch(e)})
            elif e.tag == "FocusPoint":
                self.focus.append({"name": e.get("name"), "world": world})
            elif e.tag != "GroupObject":
                self.meshes(e.get("name"), e.find("Geometries"), world)
            self.walk(e.find("ChildList"), world, e if e.tag == "Fixture" else fixture)

    def patch(self, e):
        found = [(int(a.get("break", "0")), a.text.strip()) for a in e.iterfind("Addresses/Address")]
        found = [(b, [int(n) for n in t.split(".")] if "." in t else [(int(t) - 1) // 512 + 1, (int(t) - 1) % 512 + 1]) for b, t in found if t != "0"]
        first = 1 if any(b == 0 for b, _ in found) else 0
        return sorted([b + first, *at] for b, at in found)

    def meshes(self, name, holder, world):
        for g in holder if holder is not None else []:
            at = times(world, mvr_matrix(g))
            if g.tag == "Geometry3D":
                self.pieces.append({"name": name, "world": at})
            elif g.tag == "Symbol":
                self.meshes(name, self.symbols[g.get("symdef")].find("ChildList"), at)


def read(path):
    with zipfile.ZipFile(path) as archive:
        if "description.xml" in archive.namelist():
            return read_gdtf(archive)
        scene = Scene(archive)
        return {"fixtures": scene.fixtures, "pieces": scene.pieces, "focus": scene.focus}


if __name__ == "__main__":
    json.dump({path: read(path) for path in sys.argv[1:]}, sys.stdout)
