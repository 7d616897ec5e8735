"""Makes GDTF and MVR archives by chance: make_fixtures.py FOLDER SEED COUNT writes FOLDER/NNN.gdtf and FOLDER/NNN.mvr. Everything that places a geometry, a
channel or an object varies: nested geometries, references within references, breaks, overwritten breaks, virtual channels, 8 to 24 bits in any order of bytes,
initial functions, defaults that repeat or shift, mode masters, nested groups, symbols, things that hang on moving parts."""
import io
import math
import random
import sys
import zipfile
from xml.sax.saxutils import quoteattr

ATTRIBUTES = [("Dimmer", 0, 1), ("Zoom", 5, 50), ("ColorAdd_R", 0, 1), ("Focus1", 0.5, 20), ("CTO", 2700, 6500), ("Frost1", 0, 1), ("Lamp", 0, 3)]


def turned(rng):
    """A rotation, as three rows."""
    a, b, c = (rng.uniform(-math.pi, math.pi) for _ in range(3))
    ca, sa, cb, sb, cc, sc = math.cos(a), math.sin(a), math.cos(b), math.sin(b), math.cos(c), math.sin(c)
    return [[ca * cb, ca * sb * sc - sa * cc, ca * sb * cc + sa * sc], [sa * cb, sa * sb * sc + ca * cc, sa * sb * cc - ca * sc], [-sb, cb * sc, cb * cc]]


def position(rng):
    if rng.random() < 0.15:
        return ""
    r = turned(rng) if rng.random() < 0.6 else [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
    rows = [[*row, rng.uniform(-1, 1)] for row in r] + [[0, 0, 0, 1]]
    return ' Position="' + "".join("{" + ",".join(f"{n:.9f}" for n in row) + "}" for row in rows) + '"'


class Type:
    def __init__(self, rng):
        self.rng, self.count, self.master = rng, 0, 0
        # A part's total of offsets, and the breaks that a reference to it must name.
        self.parts = {}
        self.xml = []
        self.channels = {}
        self.relations = {}
        for n in range(rng.randint(1, 3)):
            self.part(f"Part{n}")
        self.body()

    def name(self, kind):
        self.count += 1
        return f"{kind} {self.count}"

    def tree(self, depth, space, inside):
        """A geometry with children; inside gets what channels may be bound to."""
        rng = self.rng
        kind = rng.choice(["Geometry", "Axis", "Axis", "Beam" if depth == 0 else "Geometry"])
        name = self.name(kind)
        inside.append((name, kind))
        below = "".join(self.tree(depth - 1, space, inside) for _ in range(rng.randint(0, 2))) if depth > 0 else ""
        if self.parts and rng.random() < 0.4:
            below += self.reference(space)
        return f"<{kind} Name={quoteattr(name)}{position(rng)}>{below}</{kind}>"

    def reference(self, space):
        target = self.rng.choice(list(self.parts))
        total, breaks, last = self.parts[target]
        order = [b for b in breaks if b != last] + [last]
        rows = "".join(f'<Break DMXBreak="{b}" DMXOffset="{space.take(b, total)}"/>' for b in order)
        space.breaks |= set(order)
        return f'<GeometryReference Name={quoteattr(self.name("Copy"))} Geometry="{target}"{position(self.rng)}>{rows}</GeometryReference>'

    def part(self, name):
        space, inside = Space(self.rng, together=True), []
        below = "".join(self.tree(self.rng.randint(0, 1), space, inside) for _ in range(self.rng.randint(1, 2)))
        inside.append((name, "Geometry"))
        channels = self.bind(name, inside, space, self.rng.randint(1, 4), overwrite=True)
        self.xml.append(f'<Geometry Name="{name}"{position(self.rng)}>{below}</Geometry>')
        self.channels[name] = channels
        last = self.rng.choice(sorted(space.breaks))
        self.parts[name] = (space.total(), sorted(space.breaks), last)

    def body(self):
        rng, space, inside = self.rng, Space(self.rng, together=False), []
        yoke, head = self.name("Axis"), self.name("Axis")
        below = "".join(self.tree(2, space, inside) for _ in range(rng.randint(1, 2)))
        inner = f'<Axis Name="{head}"{position(rng)}>{"".join(self.tree(1, space, inside) for _ in range(rng.randint(1, 2)))}</Axis>'
        self.xml.append(f'<Geometry Name="Body"{position(rng)}>{below}<Axis Name="{yoke}"{position(rng)}>{inner}</Axis></Geometry>')
        moving = [self.channel(yoke, "Pan", space, -270, 270), self.channel(head, "Tilt", space, 135, -120)]
        inside.append(("Body", "Geometry"))
        self.carriers = [f"Body.{yoke}", f"Body.{yoke}.{head}"]
        self.channels["Body"] = moving + self.bind("Body", inside, space, rng.randint(4, 10), overwrite=False)

    def bind(self, part, inside, space, count, overwrite):
        rng, done, made = self.rng, set(), []
        for _ in range(count):
            name, kind = rng.choice(inside)
            attribute, low, high = rng.choice(ATTRIBUTES)
            if (name, attribute) in done:
                continue
            done.add((name, attribute))
            made.append(self.channel(name, attribute, space, low, high, overwrite and rng.random() < 0.3))
            if rng.random() < 0.3:
                made.append(self.follower(rng.choice(inside)[0], f"{name}_{attribute}", space))
            if rng.random() < 0.3:
                below = rng.choice(inside)[0]
                if (below, "Iris") not in done:
                    done.add((below, "Iris"))
                    made.append(self.channel(below, "Iris", space, 1, 0))
                    link = f"{below}_Iris" + rng.choice(["", ".Iris.Iris 1"])
                    self.relations.setdefault(part, []).append(
                        f'<Relation Name="r" Master={quoteattr(f"{name}_{attribute}")} Follower={quoteattr(link)} Type="{rng.choice(["Multiply", "Override"])}"/>')
        for axis in [n for n, k in inside if k == "Axis"][:2]:
            for motion in rng.choice([[], ["Pan"], ["Tilt"], ["Tilt", "Pan"]]):
                made.append(self.channel(axis, motion, space, rng.uniform(-200, -20), rng.uniform(20, 200)))
        return made

    def value(self, most=255):
        n = self.rng.choice([1, 1, 2, 3])
        return f"{self.rng.randrange(min(most + 1, 256 ** n))}/{n}{self.rng.choice(['', '', 's'])}"

    def function(self, name, attribute, start, low, high, more="", sets=""):
        return (f'<ChannelFunction Name="{name}" Attribute="{attribute}" DMXFrom="{start}" Default="{self.value()}" PhysicalFrom="{low:.6f}" '
                f'PhysicalTo="{high:.6f}" {more}>{sets}</ChannelFunction>')

    def channel(self, geometry, attribute, space, low, high, overwrite=False):
        rng = self.rng
        functions = [self.function(f"{attribute} 1", attribute, "0/1", low, high, sets=self.sets(low, high))]
        for k in range(rng.choice([0, 0, 1, 2])):
            functions.append(self.function(f"{attribute} {k + 2}", attribute, f"{80 + 60 * k}/1", low + (high - low) * 0.1, high - (high - low) * 0.2))
        return self.wrap(geometry, attribute, space, functions, overwrite)

    def sets(self, low, high):
        if self.rng.random() < 0.6:
            return ""
        return f'<ChannelSet Name="a" DMXFrom="10/1" PhysicalFrom="{low + (high - low) / 3:.6f}" PhysicalTo="{low + (high - low) / 2:.6f}"/>' \
               f'<ChannelSet Name="b" DMXFrom="30/1"/>'

    def follower(self, geometry, master, space):
        """A channel whose function is chosen by another channel, of this geometry or one beside, above or below it, in as many bytes as that has."""
        self.master += 1
        attribute = master.split("_", 1)[1]
        link = master + self.rng.choice(["", f".{attribute}.{attribute} 1"])
        at = self.rng.randint(40, 200)
        functions = [self.function("low", f"Own{self.master}", "0/1", 0, 10, f'ModeMaster={quoteattr(link)} ModeFrom="0/1" ModeTo="{at - 1}/1s"'),
                     self.function("low 2", f"Own{self.master}", "100/1", 50, 60, f'ModeMaster={quoteattr(link)} ModeFrom="0/1" ModeTo="{at - 1}/1s"'),
                     self.function("high", f"Own{self.master}", "0/1", 20, 40, f'ModeMaster={quoteattr(link)} ModeFrom="{at}/1s" ModeTo="255/1"')]
        return self.wrap(geometry, f"Own{self.master}", space, functions, False)

    def wrap(self, geometry, attribute, space, functions, overwrite):
        rng = self.rng
        brk = rng.choice([1, 1, 1, 2, 3])
        if rng.random() < 0.1 and attribute not in ("Pan", "Tilt"):
            offset = rng.choice(["None", ""])
            shown = brk = 1
        else:
            bytes_ = [space.take(brk, 1) for _ in range(rng.choice([1, 1, 2, 2, 3]))]
            rng.shuffle(bytes_)
            offset, shown = ",".join(map(str, bytes_)), brk
            if overwrite:
                shown = "Overwrite"
            else:
                space.breaks.add(brk)
        initial = rng.choice(["", f' InitialFunction="{geometry}_{attribute}.{attribute}.{rng.choice(functions).split(chr(34))[1]}"'])
        highlight = rng.choice(["", ' Highlight="None"', f' Highlight="{self.value()}"'])
        return (f'<DMXChannel DMXBreak="{shown}" Offset="{offset}" Geometry={quoteattr(geometry)}{initial}{highlight}>'
                f'<LogicalChannel Attribute="{attribute}">{"".join(functions)}</LogicalChannel></DMXChannel>')

    def description(self):
        modes = [("All", "Body", list(self.channels))]
        modes += [(f"Only {p}", p, [p]) for p in self.parts if "Overwrite" not in "".join(self.channels[p])]
        rows = ""
        for name, geometry, parts in modes:
            channels = "".join(c for p in parts for c in self.channels[p])
            relations = "".join(r for p in parts for r in self.relations.get(p, []))
            rows += (f'<DMXMode Name="{name}" Geometry="{geometry}"><DMXChannels>{channels}</DMXChannels>'
                     f"<Relations>{relations}</Relations></DMXMode>")
        return (f'<?xml version="1.0" encoding="UTF-8"?><GDTF DataVersion="1.2"><FixtureType Name="By chance" Manufacturer="None">'
                f'<Geometries>{"".join(self.xml)}</Geometries><DMXModes>{rows}</DMXModes></FixtureType></GDTF>')


class Space:
    """Offsets given out, by break; in a part they are apart over all breaks, since an overwritten break may be any."""

    def __init__(self, rng, together):
        self.rng, self.together, self.next, self.breaks = rng, together, {}, set() if not together else {1}

    def take(self, brk, count):
        key = 0 if self.together else brk
        at = self.next.get(key, 1) + (self.rng.randint(0, 2) if self.rng.random() < 0.2 else 0)
        self.next[key] = at + count
        return at

    def total(self):
        return self.next.get(0, 1) - 1


GLTF = '{"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"mesh":0}],"meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}],' \
       '"buffers":[{"byteLength":36,"uri":"data:application/octet-stream;base64,AAAAAAAAAAAAAAAAAACAPwAAAAAAAAAAAAAAAAAAgD8AAAAA"}],' \
       '"bufferViews":[{"buffer":0,"byteLength":36}],' \
       '"accessors":[{"bufferView":0,"componentType":5126,"count":3,"type":"VEC3","min":[0,0,0],"max":[1,1,0]}]}'


class Scenery:
    def __init__(self, rng, carriers):
        self.rng, self.carriers, self.count, self.universe = rng, carriers, 0, 0
        self.symbols = "".join(f'<Symdef uuid="s{k}" name="Symbol {k}"><ChildList>{self.geometry(k)}{self.geometry(k)}</ChildList></Symdef>' for k in range(3))

    def matrix(self, scaled=False):
        if self.rng.random() < 0.1:
            return ""
        rows = turned(self.rng)
        if scaled and self.rng.random() < 0.5:
            rows = [[n * s for n in row] for row, s in zip(rows, (self.rng.uniform(0.2, 3) for _ in range(3)))]
        rows.append([self.rng.uniform(-5000, 5000) for _ in range(3)])
        return "<Matrix>" + "".join("{" + ",".join(f"{n:.9f}" for n in row) + "}" for row in rows) + "</Matrix>"

    def geometry(self, symbols):
        if symbols and self.rng.random() < 0.4:
            return f'<Symbol uuid="y{self.rng.random()}" symdef="s{self.rng.randrange(symbols)}">{self.matrix()}</Symbol>'
        return f'<Geometry3D fileName="box.gltf">{self.matrix(scaled=True)}</Geometry3D>'

    def uuid(self, kind):
        self.count += 1
        return f'uuid="00000000-0000-4000-8000-{self.count:012x}" name="{kind} {self.count}"'

    def addresses(self):
        self.universe += 1
        first = self.rng.randint(0, 1)
        rows = []
        for b in range(3):
            at = self.rng.randint(1, 60)
            text = self.rng.choice([f"{3 * self.universe + b}.{at}", str((3 * self.universe + b - 1) * 512 + at)])
            rows.append(f'<Address break="{b + first}">{text}</Address>')
        self.rng.shuffle(rows)
        return "<Addresses>" + "".join(rows) + "</Addresses>"

    def child(self, depth, carrier):
        rng = self.rng
        kind = rng.choice(["Fixture", "Fixture", "SceneObject", "Truss", "Support", "GroupObject", "FocusPoint"])
        at = self.matrix()
        part = f"<ChildPosition>{rng.choice(self.carriers)}</ChildPosition>" if carrier and kind in ("Fixture", "SceneObject") and rng.random() < 0.6 else ""
        below = ""
        if depth > 0 and kind in ("Fixture", "GroupObject", "Truss", "SceneObject"):
            below = f'<ChildList>{"".join(self.child(depth - 1, kind == "Fixture") for _ in range(rng.randint(0, 2)))}</ChildList>'
        if kind == "Fixture":
            return (f'<Fixture {self.uuid(kind)}>{at}<GDTFSpec>type.gdtf</GDTFSpec><GDTFMode>All</GDTFMode>{part}{self.addresses()}'
                    f"<FixtureID>{self.count}</FixtureID>{below}</Fixture>")
        if kind in ("GroupObject", "FocusPoint"):
            return f"<{kind} {self.uuid(kind)}>{at}{below}</{kind}>"
        return f'<{kind} {self.uuid(kind)}>{at}{part}<Geometries>{self.geometry(3)}{self.geometry(3)}</Geometries>{below}</{kind}>'

    def description(self):
        children = "".join(self.child(3, False) for _ in range(self.rng.randint(3, 8)))
        layers = f'<Layer uuid="l1" name="One">{self.matrix()}<ChildList>{children}</ChildList></Layer>'
        return (f'<?xml version="1.0" encoding="UTF-8"?><GeneralSceneDescription verMajor="1" verMinor="6"><Scene><AUXData>{self.symbols}</AUXData>'
                f"<Layers>{layers}</Layers></Scene></GeneralSceneDescription>")


def archive(*entries):
    memory = io.BytesIO()
    with zipfile.ZipFile(memory, "w", zipfile.ZIP_DEFLATED) as out:
        for name, data in entries:
            out.writestr(name, data)
    return memory.getvalue()


if __name__ == "__main__":
    folder, seed, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    for n in range(count):
        chance = random.Random(seed * 1000 + n)
        kind = Type(chance)
        gdtf = archive(("description.xml", kind.description()))
        with open(f"{folder}/{n:03}.gdtf", "wb") as out:
            out.write(gdtf)
        with open(f"{folder}/{n:03}.mvr", "wb") as out:
            out.write(archive(("GeneralSceneDescription.xml", Scenery(chance, kind.carriers).description()), ("type.gdtf", gdtf), ("box.gltf", GLTF)))
