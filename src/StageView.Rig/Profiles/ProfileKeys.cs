using StageView.Rig.Keys;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Rig.Profiles;

/// <summary>The keys of a fixture profile file.</summary>
internal static class ProfileKeys
{
    private static readonly KeyValue ByteValue = new IntegerValue(0, 255);

    private static readonly ObjectValue Body = new ObjectValue("a body", "What is drawn of a geometry.").With(
        new("shape", new ChoiceValue("box", "cylinder", "sphere"), "Its shape; a cylinder stands along z.", true),
        new("size", Size3, "Full size along x, y and z, m.", true),
        At,
        Rotate);

    private static readonly ObjectValue Axis = new ObjectValue("an axis", "How channels move this geometry and all it holds.").With(
        new("motion", new ChoiceValue("pan", "tilt", "travel"), "pan turns about z, tilt about x, travel moves along z.", true),
        new("speed", Positive, "Top speed, deg/s or m/s; 0 (when left out) means at once."),
        new("acceleration", Positive, "Acceleration, deg/s² or m/s²; 0 (when left out) means at once."),
        new("settle", Positive, "Seconds from arrival until it stands still; 0 when left out."));

    private static readonly ObjectValue Beam = new ObjectValue("a beam", "A lens that shines along -z, its own up is +y.").With(
        new("kind", new ChoiceValue("spot", "wash", "glow"), "spot has a hard edge, wash a soft one, glow shines all round. spot when left out."),
        new("flux", Positive, "Luminous flux at full, open white, lm; the photometric file's when left out, 10000 without one."),
        new("beamAngle", new EitherValue(new NumberValue(.05, 179), new ListValue(new NumberValue(.05, 160), 2, 2)),
            "Full angle where half the centre intensity is left, degrees, where no zoom says otherwise; [along x, along y] for a beam that isn't round."),
        new("fieldAngle", new NumberValue(.05, 179),
            "Full angle where a tenth is left, degrees, of two the one along x; its ratio to the beam angle holds at every zoom."),
        new("outline", new ChoiceValue("round", "ellipse", "rectangle"),
            "What the beam looks like across; when left out round, or an ellipse with two beam angles."),
        new("lensRadius", Positive, "Radius of the lens, m; .05 when left out."),
        new("colourTemperature", new NumberValue(1000, 20000), "Colour temperature of open white, K; 6000 when left out."),
        new("drawLens", Flag, "Whether the lens is drawn glowing; true when left out."),
        new("globeRadius", Positive, "For a glow: radius of the globe, m."),
        new("photometry", Text, "IES LM-63 or EULUMDAT file with the measured intensities, beside this file."),
        new("measured", Text, "Instead of photometry: such a file that is only compared with what is stated here; for beams that zoom."));

    private static readonly ObjectValue Grid = new ObjectValue(
        "a pixel grid", "Pixels on the geometry's xy plane, shining along -z; seen from the front the first pixel is top left.").With(
        new("columns", new IntegerValue(1, 4096), "Pixels across.", true),
        new("rows", new IntegerValue(1, 4096), "Pixels down.", true),
        new("size", Size2, "Full width and height, m.", true),
        new("luminance", Positive, "Luminance of the emitting part, all colours at full, cd/m².", true),
        new("fill", Share, "Share of the pitch that emits; .8 when left out."),
        new("shape", new ChoiceValue("flat", "globe"), "flat when left out; a globe shines all round, its diameter is the width."));

    private static readonly ObjectValue Surface = new ObjectValue("a mirror surface", "What reflects, and what lies in front of it.").With(
        new("reflectance", Share, "Of the metal layer; .9 when left out."),
        new("sheet", new NumberValue(0, .1), "Thickness of the clear sheet in front of the metal, m; 0 (first surface) when left out."),
        new("index", new NumberValue(1, 3), "Refractive index of that sheet: acrylic 1.49, glass 1.52. 1.49 when left out and there is a sheet."));

    private static readonly ObjectValue MirrorFace = new ObjectValue("a mirror face", "A mirror on the geometry's xy plane, reflecting along +z.").With(
        new("size", Size2, "Width along x and height along y, m."),
        new("corners", new ListValue(Point, 3, 16), "Instead of size: convex outline, counter-clockwise seen from the reflecting side, m."),
        new("surface", Surface, "Its surface."));

    private static readonly ObjectValue Figure = new ObjectValue("a laser figure", "What a laser's scanners draw, again and again.").With(
        new("shape", new ChoiceValue("circle", "line", "fan"), "circle and line are drawn without a pause; a fan is single rays with darkness between them."),
        new("file", Text, "Instead of shape: an ILDA file (Image Data Transfer Format) beside this file. Every lit point has all of the power."),
        new("frame", new IntegerValue(1, 65_536), "Which frame of the file, counted from 1; 1 when left out."),
        new("angle", new NumberValue(0.01, 120), "Full angle across, degrees; of a file the angle of its whole square, both ways.", true),
        new("turn", new NumberValue(-360, 360), "Turn of the figure about its middle, degrees, to the left; 0 (along x) when left out."),
        new("points", new IntegerValue(2, 10_000), "Points of a circle's turn, or of a line one way; 200 when left out."),
        new("rays", new IntegerValue(1, 500), "Rays of a fan; 9 when left out."),
        new("rest", new IntegerValue(1, 10_000), "Points on each ray of a fan; 10 when left out."),
        new("travel", new IntegerValue(1, 10_000), "Dark points between the rays of a fan; 5 when left out."),
        new("rate", new NumberValue(1, 1e6), "Points a second; 30000 when left out."));

    private static readonly ObjectValue Laser = new ObjectValue("a laser", "A laser aperture that shines along -z.").With(
        new("power", Positive, "Optical power at full, W.", true),
        new("wavelengths", new ListValue(new NumberValue(380, 780), 1, 8), "nm, red first.", true),
        new("shares", new ListValue(Share, 1, 8), "Share of the power in each wavelength; equal when left out."),
        new("aperture", Positive, "Beam diameter at the aperture, m; .004 when left out."),
        new("divergence", Positive, "Full divergence, mrad; 1 when left out."),
        new("figure", Figure, "What its scanners draw; a beam that stands still when left out. A slot's figure of a gobo wheel goes before it."));

    private static readonly ObjectValue Repeat = new ObjectValue("a repeat", "Copies of a geometry, named with a space and a number from 1.").With(
        new("count", new IntegerValue(1, 1024), "How many copies in all.", true),
        new("from", Point, "Where the first lies, m.", true),
        new("to", Point, "Where the last lies, m.", true),
        new("turnFrom", Point, "Turns of the first, degrees."),
        new("turnTo", Point, "Turns of the last, degrees; those between share the way."));

    private static readonly ObjectValue Slot = new ObjectValue("a slot", "One place of a wheel.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("colour", Colour, "Transmission: a share, three linear shares of red, green, blue, or #rrggbb. Open when left out."),
        new("gobo", Name, "Pattern: dots, bars, ring, cracks, rays, window, or an image file beside this file."),
        new("facets", new IntegerValue(0, 32), "Facets of a prism."),
        new("spread", new NumberValue(0, 45), "How far each facet turns its copy, degrees."),
        new("facetColours", new ListValue(Colour, 1, 32), "Colours of the facets, one after another, again from the first when they are fewer."),
        new("figure", Figure, "On a gobo wheel: what the fixture's lasers draw."));

    private static readonly ObjectValue WarmUpKeys = new ObjectValue("a warm-up", "What a lamp draws when it was struck cold.").With(
        new("seconds", Positive, "How long, s.", true),
        new("power", Positive, "What it draws meanwhile, W.", true));

    private static readonly ObjectValue LoadKeys = new ObjectValue("a load", "Electrical power by level.").With(
        new("standby", Positive, "Power while dark, W."),
        new("curve", new ListValue(new ListValue(new NumberValue(0, 1), 2, 2), 2, 100),
            "Pairs of level and share of the power between standby and full, 0 to 1, rising; [[0, 1], [1, 1]] for a lamp that burns whatever its level."),
        new("peak", Positive, "Power while it flashes, W, for those instants."),
        new("powerFactor", new NumberValue(.1, 1), "Power by voltage and current; 1 when left out."),
        new("warmUp", WarmUpKeys, "What it draws after it was struck cold."));

    private static readonly ObjectValue WheelKeys = new ObjectValue("a wheel", "A wheel of colours, gobos or prisms.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("slots", new ListValue(Slot, 1, 256), "Its slots, the first is 1.", true));

    private static readonly ObjectValue EmitterKeys = new ObjectValue("an emitter", "One colour of an additive fixture.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("x", new NumberValue(0, .8), "CIE 1931 chromaticity x.", true),
        new("y", new NumberValue(.001, .9), "CIE 1931 chromaticity y.", true),
        new("share", Share, "Share of the fixture's full luminous flux.", true));

    private static readonly ObjectValue When = new ObjectValue("a condition", "Another channel decides whether a range is active.").With(
        new("channel", Name, "Name of that channel (Geometry_Attribute).", true),
        new("from", ByteValue, "Its lowest value (coarse byte).", true),
        new("to", ByteValue, "Its highest value (coarse byte).", true));

    private static readonly ObjectValue Range = new ObjectValue("a range", "A stretch of a channel's values that does one thing.").With(
        new("from", ByteValue, "First value, 0 to 255 (of the coarse byte).", true),
        new("to", ByteValue, "Last value, 0 to 255; the end of the channel or the next range when left out."),
        new("name", Name, "What it is called."),
        new("attribute", Name, "DIN SPEC 15800 attribute, such as Shutter1Strobe; the channel's own when left out."),
        new("physical", Pair, "Physical value at the first and at the last value, in the attribute's unit."),
        new("wheel", Name, "The wheel it chooses from."),
        new("slot", new IntegerValue(0, 256), "The slot that the whole range chooses, from 1."),
        new("slots", Texts, "Names of slots that share the range in equal parts, in order."),
        new("emitter", Name, "The emitter it drives."),
        new("curve", new ChoiceValue("linear", "square", "s", "squareRoot"), "Response; linear when left out."),
        new("when", When, "Only active when another channel lies in a range."),
        new("fade", Positive, "Seconds the fixture takes from end to end."));

    private static readonly ObjectValue Channel = new ObjectValue("a channel", "One DMX channel, or a group of channels for each of several geometries.").With(
        new("attribute", Name, "DIN SPEC 15800 attribute, such as Dimmer, Pan, ColorAdd_R, Gobo1Pos."),
        new("geometry", Name, "The geometry it acts on, with all it holds; the root when left out."),
        new("bits", new ChoiceValue("8", "16", "24", "virtual"), "Resolution; 8 when left out. A virtual channel has no address."),
        new("offsets", new ListValue(new IntegerValue(1, 512), 1, 4),
            "Its addresses from the fixture's start, most significant first; the next free ones when left out."),
        new("break", new IntegerValue(1, 16), "DMX break, from 1; 1 when left out."),
        new("default", ByteValue, "Value without levels (coarse byte, 255 is full); 0 when left out."),
        new("highlight", ByteValue, "Value to find the fixture by."),
        new("snap", Flag, "True when values are taken at once; false when left out."),
        new("physical", Pair, "Physical value at 0 and at full, in the attribute's unit; 0 to 1 when left out."),
        new("curve", new ChoiceValue("linear", "square", "s", "squareRoot"), "Response; linear when left out."),
        new("wheel", Name, "The wheel it chooses from."),
        new("slots", Texts, "Names of slots that share the channel in equal parts."),
        new("emitter", Name, "The emitter it drives; found by the attribute's colour when left out."),
        new("ranges", new ListValue(Range, 1, 256), "Stretches of values that do different things."),
        new("forEach", Name, "Instead of attribute: the channels below once for each copy of this repeated geometry."));

    private static readonly ObjectValue Pixels = new ObjectValue("a pixel run", "Pixels wired one after another, from an address on.").With(
        new("geometry", Name, "The geometry with the pixel grid; every copy in turn when it is repeated.", true),
        new("first", new IntegerValue(1, 100_000), "Address of the first byte from the fixture's start; the next free one when left out."),
        new("break", new IntegerValue(1, 16), "DMX break, from 1; 1 when left out."),
        new("order", new TextValue("^[RGBWA]{1,6}$", "letters of R, G, B, W and A (amber), such as \"GRB\""), "Order of the components; RGB when left out."),
        new("bytes", new IntegerValue(1, 2), "Bytes a component; 1 when left out."),
        new("path", new ChoiceValue("rows", "rowsSerpentine", "columns", "columnsSerpentine"), "How the run goes; rows when left out."),
        new("splitPixels", Flag, "Whether a pixel may lie in two universes; true when left out."));

    private static readonly ObjectValue Relation = new ObjectValue("a relation", "A channel that leads another.").With(
        new("leader", Name, "Name of the leading channel (Geometry_Attribute).", true),
        new("follower", Name, "Name of the following channel (Geometry_Attribute).", true),
        new("kind", new ChoiceValue("multiply", "override"), "multiply scales the follower by the leader; override puts the leader in its place.", true));

    private static readonly ObjectValue Mode = new ObjectValue("a mode", "A DMX mode.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("geometry", Name, "The geometry the mode starts at; the first when left out."),
        new("channels", new ListValue(Channel), "Its channels, in order of address.", true),
        new("pixels", new ListValue(Pixels), "Runs of pixels; they may read the same addresses as channels."),
        new("relations", Many(Relation, 10_000), "Channels that lead others."));

    private static readonly ObjectValue Geometry = new("a geometry", "A part of the fixture. It hangs with z up, looks along -z, and holds other parts.");

    public static ObjectValue Profile { get; } = Build();

    public static KeyValue SurfaceKeys => Surface;

    private static ObjectValue Build()
    {
        Channel.Keys = [.. Channel.Keys, new("channels", new ListValue(Channel, 1), "With forEach: the channels of one copy.")];
        Geometry.Keys =
        [
            new("name", Name, "Its name, unique in the file.", true),
            new("notes", Text, "Notes for people; nothing reads them."),
            At,
            Rotate,
            new("axis", Axis, "How it moves."),
            new("beam", Beam, "A beam that starts here."),
            new("pixels", Grid, "Pixels that lie here."),
            new("mirror", MirrorFace, "A mirror that lies here."),
            new("laser", Laser, "A laser that starts here."),
            new("body", Body, "What is drawn."),
            new("repeat", Repeat, "Makes several of it."),
            new("parts", new ListValue(Geometry), "Geometries that move with it."),
        ];
        return new ObjectValue("a fixture profile", "A StageView fixture profile: what the fixture is made of and how DMX drives it.").With(
            new("$schema", Text, "Where an editor finds this schema."),
            new("name", Name, "Name of the fixture type.", true),
            new("notes", Text, "Notes for people; nothing reads them."),
            new("standsFor", Text, "GDTF file that this profile stands in for where it is missing; an export to MVR names that instead."),
            new("weight", Positive, "Weight of the fixture, kg; for paperwork."),
            new("power", Positive, "Electrical power at full, W; for paperwork and load."),
            new("load", LoadKeys, "How its power follows its levels; in proportion, from nothing, when left out."),
            new("wheels", Many(WheelKeys, 500), "Wheels of colours, gobos, prisms."),
            new("emitters", Many(EmitterKeys, 500), "Colours of an additive fixture."),
            new("geometry", new ListValue(Geometry, 1), "The parts; the first is the root.", true),
            new("modes", new ListValue(Mode, 1, 1000), "The DMX modes; the first is used when a hang names none.", true));
    }
}
