using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Light.Mirrors;
using StageView.Rig.Keys;
using StageView.Rig.Profiles;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Rig.Scene;

/// <summary>The keys of a rig scene file.</summary>
internal static class SceneKeys
{
    private static readonly KeyValue Texty = new EitherValue(Text, Texts);

    private static readonly ObjectValue HazeKeys = new ObjectValue("haze", "The air.").With(
        new("extinction", new NumberValue(0, 5),
            "Share of the light lost in a metre, 1/m; about .01 to .03 for a hazed stage (common practice, no source). 0 is clear air.", true),
        new("albedo", Share, "Share of that loss which scatters; .97 when left out."),
        new("forward", new NumberValue(-.99, .99), "How much it scatters forward (Henyey-Greenstein g); .7 when left out."),
        new("unevenness", Share, "0 for even haze (when left out), 1 for patches from clear to double."),
        new("patchSize", new NumberValue(.1, 100), "Size of the patches, m; 2 when left out."),
        new("drift", Point, "How the patches move, m/s."),
        new("seed", new IntegerValue(0), "Seed of the pattern; 0 when left out."),
        new("fill", Flag, "Whether light that it scatters more than once counts, as a blurred fill; pictures take longer. False when left out."));

    private static readonly ObjectValue CameraKeys = new ObjectValue("a camera", "A view.").With(
        new("name", Name, "Its name, unique in the rig.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("at", Point, "Where it stands, m.", true),
        new("lookAt", Point, "The point in the middle of the picture, m.", true),
        new("up", Point, "Which way is up in the picture; [0, 0, 1] when left out."),
        new("fieldOfView", new NumberValue(1, 170), "Full vertical angle of view, degrees; 50 when left out."),
        new("ev", new NumberValue(-10, 25), "Exposure value at ISO 100; 7 when left out. One more halves the brightness."),
        new("whitePoint", new NumberValue(1500, 20000),
            "White balance of the sensor, K: light of this colour temperature comes out neutral; 6504 when left out."),
        new("projectorWhite", new NumberValue(1500, 20000),
            "White of the projector or screen that shows the picture, K: neutral then looks as it does on that one, and pictures are darker by what its "
            + "channels are turned down; 6504, a usual screen's own, when left out."),
        new("fNumber", new NumberValue(.5, 64),
            "Focal ratio of the lens on a 24 mm high sensor, for depth of field (a picture then takes many times as long); sharp everywhere when left out."),
        new("focusDistance", new NumberValue(.1, 1000), "How far along the camera's axis the plane in focus lies, m; the distance to lookAt when left out."),
        new("bloom", new NumberValue(0, .5), "Share of all light that the lens scatters about its place; none when left out. A clean lens has about .02."),
        new("smoothEdges", Flag,
            "Whether edges of things have no stairs: each pixel asks at four places what is there. Pictures take a little longer; false when left out."),
        new("shutter", new NumberValue(1e-5, 10), "How long the shutter is open, s; 1/50 when left out."));

    private static readonly ObjectValue RowKeys = new ObjectValue("a row", "Several in a straight line, from and to included.").With(
        new("from", Point, "Where the first is, m.", true),
        new("to", Point, "Where the last is, m.", true),
        new("count", Count, "How many there are in all.", true));

    private static readonly ObjectValue ArcKeys = new ObjectValue("an arc", "Several on a circle about a vertical axis.").With(
        new("centre", Point, "Centre of the circle, m.", true),
        new("radius", Positive, "Radius of the circle, m.", true),
        new("from", Number, "Direction of the first, degrees from +x towards +y.", true),
        new("to", Number, "Direction of the last, degrees.", true),
        new("count", Count, "How many there are in all.", true),
        new("turn", Flag,
            "Whether each is turned along with its direction (a thing that faces the house at -90° always faces away from the centre); false when left out."));

    private static readonly ObjectValue CircleKeys = new ObjectValue("a circle", "How a truss, ladder or pipe is bent.").With(
        new("radius", Positive, "From the circle's centre to the middle of the structure, m.", true),
        new("from", Number, "Direction of its first end, degrees from +x towards +y; 0 when left out."),
        new("to", Number, "Direction of its other end, degrees; 360 when left out."));

    private static readonly ObjectValue GridKeys = new ObjectValue("a grid", "Rows of columns: columns along the first step, rows along the second.").With(
        new("from", Point, "Where the first is, m.", true),
        new("acrossStep", Point, "Step from one column to the next, m.", true),
        new("downStep", Point, "Step from one row to the next, m.", true),
        new("columns", Count, "How many across.", true),
        new("rows", Count, "How many down.", true));

    private static readonly ObjectValue PatchKeys = new ObjectValue("a patch", "Where the addresses of a hang start and how they run on.").With(
        new("start", new EitherValue(Address, new ListValue(AddressOrNone, 1, 16)), "First address; a list has one a DMX break.", true),
        new("step", new IntegerValue(1, 512), "Addresses from one fixture to the next; its footprint when left out."),
        new("perUniverse", new IntegerValue(1, 512), "After so many the run goes on in the next universe at the address it started with."),
        new("order", new ListValue(new IntegerValue(1, 10_000)), "Members in the order they are addressed; as hung when left out."));

    private static readonly KeyValue AnyPatch = new EitherValue(AddressOrNone, new ListValue(AddressOrNone, 1, 16), PatchKeys);

    private static readonly ObjectValue CarriedKeys = new ObjectValue("a carrier", "The moving part of another fixture that carries this.").With(
        new("fixture", Name, "Name of the carrying fixture.", true),
        new("part", Name, "Name of the geometry in it.", true));

    private static readonly KeyRow[] Override =
    [
        new("number", new EitherValue(new IntegerValue(0), Name), "The number the console knows it by; members count on from it."),
        new("mode", Name, "DMX mode of the profile; its first when left out."),
        new("rotate", Point, "Turns in degrees about the fixed x, then y, then z axis. Unturned it hangs and looks straight down."),
        new("aim", new EitherValue(Point, Name),
            "Instead of rotate: the point it looks at, m, in the coordinates of what holds it; or the name of one of the rig's focus points."),
        new("groups", Many(Name, 100), "Names of groups it belongs to."),
        new("position", Name, "Name of the hanging position for paperwork; the name of what holds it when left out."),
        new("filter", Colour, "Colour filter in front of it: a share, three linear shares of red, green, blue, or #rrggbb. None when left out."),
        new("photometry", Text,
            "IES LM-63 or EULUMDAT file with the measured intensities of its beams, from this file's folder; they hold at every zoom, and the file's lumens "
            + "replace the profile's."),
        new("invertPan", Flag, "Pan runs the other way; false when left out."),
        new("invertTilt", Flag, "Tilt runs the other way; false when left out."),
        new("swapPanTilt", Flag, "Pan and tilt are swapped; false when left out."),
        new("phase", new IntegerValue(1, 3), "Supply phase, for paperwork and load."),
        new("feed", Name, "The feed that supplies it, for load."),
        new("uuid", Name, "Identity from another program (MVR)."),
        new("layer", Name, "Layer, as MVR has them."),
        new("class", Name, "Class, as MVR has them."),
        new("focus", Name, "Name of the focus point it is aimed at, for paperwork and MVR."),
        new("panLimit", Pair, "Pan is kept between these, degrees."),
        new("tiltLimit", Pair, "Tilt is kept between these, degrees."),
    ];

    private static readonly ObjectValue MemberKeys = new ObjectValue("a member", "What is different for one of several.").With(
    [
        new("member", new IntegerValue(1, 10_000), "Which one, from 1.", true),
        new("name", Name, "Its own name."),
        new("at", Point, "Its own place, m."),
        new("profile", Name, "Its own fixture profile."),
        new("patch", new EitherValue(Address, new ListValue(AddressOrNone, 1, 16)), "Its own address; it leaves the run."),
        new("leftOut", Flag, "True when this one doesn't exist; the others keep their numbers and addresses."),
        .. Override,
    ]);

    private static readonly ObjectValue HangKeys = new ObjectValue("a hang", "One fixture, or several of a kind.").With(
    [
        new("name", Name, "Its name; several get a space and a number from 1.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("profile", Name, "Fixture profile: a file name in the profile folders (without extension), or a path from this file.", true),
        At,
        new("row", RowKeys, "Several in a line."),
        new("arc", ArcKeys, "Several on a circle."),
        new("grid", GridKeys, "Several in rows and columns."),
        new("mirrored", Flag, "As many again, reflected about x = 0 of what holds them; false when left out."),
        new("aimTo", Point, "With aim: members look at points shared out from aim to here, m."),
        new("numberStep", new IntegerValue(1, 1000), "Step from one member's number to the next; 1 when left out."),
        new("patch", AnyPatch, "Addresses: \"universe.address\", one a DMX break, or a run. Several run on one after another."),
        new("sharesPatchOf", Name, "Instead of patch: the fixture whose addresses it shares; it follows the same levels, in the same mode."),
        new("carriedBy", CarriedKeys, "What carries it; at and rotate are then within that part."),
        new("members", new ListValue(MemberKeys), "What is different for single members."),
        .. Override,
    ]);

    private static readonly ObjectValue PieceKeys = new ObjectValue("a scenery piece", "A floor, wall, riser, truss, figure or set piece.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("shape", new ChoiceValue("box", "cylinder", "sphere", "plane", "person", "truss", "ladder", "pipe", "room", "model"),
            "Its shape; a plane lies on xy and faces up, a person stands with the feet at \"at\" facing the house.", true),
        At,
        Rotate,
        new("size", Size3, "Full size along x, y, z, m (box, cylinder, sphere; a plane uses x and y; a room is measured inside; a model is scaled to it)."),
        new("height", Positive, "Height of a person, m; 1.8 when left out."),
        new("from", Point, "First end of a truss, ladder or pipe, m."),
        new("to", Point, "Other end, m."),
        new("circle", CircleKeys, "Instead of from and to: a truss, ladder or pipe bent to a circle, or a part of one, about z through \"at\"."),
        new("width", Positive, "Width of a truss or ladder, diameter of a pipe, m; .3, .4 and .05 when left out."),
        new("walls", new ListValue(new ChoiceValue("floor", "ceiling", "left", "right", "rear", "front")),
            "Which sides a room has; all when left out. left is the house's left (-x), front is the house's end."),
        new("file", Text,
            "Model file beside this file: glTF, GLB, 3DS, OBJ, and what libassimp reads where it is installed; others than glTF, GLB and 3DS are taken as "
            + "metres with Y up."),
        new("albedo", Colour, "Diffuse albedo: a share, three linear shares, or #rrggbb; .2 when left out."),
        new("shine", new NumberValue(0, Gloss.MostShine),
            "Share of light at right angles that is thrown on as by a rough mirror (more at flat angles); the rest meets the albedo. .04 for lacquer or water, "
            + ".5 and more for metal; 0, matt, when left out."),
        new("roughness", new NumberValue(Gloss.LeastRoughness, 1),
            "How rough what shines is: .03 for a polished floor, .2 when left out, .5 for dull metal (about the tangent of its facets' slope)."),
        new("kind", new ChoiceValue("scenery", "person", "structure"), "What it counts as; by its shape when left out."),
        new("row", RowKeys, "Several in a line; \"at\" is then measured from each place."),
        new("arc", ArcKeys, "Several on a circle; \"at\" is then measured from each place."),
        new("mirrored", Flag, "A second one, reflected about x = 0 of what holds it."),
        new("oneSided", Flag,
            "A plane is seen from the side it faces alone, a room from inside: cameras look in from the other side. Light is blocked all the same; false when "
            + "left out."),
        new("scale", Size3, "Factors along x, y, z for a model; [1, 1, 1] when left out."),
        new("weight", Positive, "kg, for paperwork."),
        new("uuid", Name, "Identity from another program (MVR)."),
        new("layer", Name, "Layer, as MVR has them."),
        new("class", Name, "Class, as MVR has them."),
        new("mvrElement", new ChoiceValue("VideoScreen", "Projector", "Support"), "What it is in MVR files; by its kind (Truss or SceneObject) when left out."),
        new("carriedBy", CarriedKeys, "What carries it; at and rotate are then within that part."));

    private static readonly ObjectValue PanelsKeys = new ObjectValue("panels", "A mirror wall of equal panels.").With(
        new("columns", new IntegerValue(1, 100), "Panels across.", true),
        new("rows", new IntegerValue(1, 100), "Panels from bottom to top.", true),
        new("gap", Positive, "Gap between them, m; .01 when left out."),
        new("fan", new ListValue(Number, 2, 2),
            "Turn from one column to the next about the vertical, and lean from one row to the next, degrees; none when left out."));

    private static readonly ObjectValue MirrorKeys =
        new ObjectValue("a mirror", "A flat mirror, or a wall of panels. Unturned it stands upright, \"at\" is its centre, and it faces the house.").With(
        new("name", Name, "Its name; panels get a space, a column and a row.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        At,
        Rotate,
        new("size", Size2, "Width and height of the whole, m."),
        new("corners", new ListValue(Point, 3, 16), "Instead of size: convex outline, counter-clockwise seen from the reflecting side, m."),
        new("panels", PanelsKeys, "Cuts the size into panels."),
        new("surface", ProfileKeys.SurfaceKeys, "What reflects."),
        new("mirrored", Flag, "A second one, reflected about x = 0 of what holds it."));

    private static readonly ObjectValue AreaKeys = new ObjectValue("a measuring area", "A set of points at which light is measured.").With(
        new("name", Name, "Its name, unique in the rig.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("corner", Point, "The corner it starts at, m.", true),
        new("across", Point, "First edge, m.", true),
        new("along", Point, "Second edge, m; a line when left out."),
        new("points", new ListValue(new IntegerValue(1, 500), 1, 2), "Points along each edge.", true),
        new("facing", Point, "Which way the measuring plane faces; [0, 0, 1] when left out."));

    private static readonly ObjectValue VolumeKeys =
        new ObjectValue("a volume of people", "A box in which people may be; for caution checks, which never say that something is safe.").With(
        new("name", Name, "Its name, unique in the rig.", true),
        new("kind", new ChoiceValue("audience", "crew"), "Who may be in it: the caution checks tell the two apart.", true),
        new("at", Point, "Its centre, m.", true),
        Rotate,
        new("size", Size3, "Full size, m.", true),
        new("seats", new ListValue(Point, 1, 200),
            "Eyes from which flashes and bright light are looked for, m; when left out the middle and the front edge for an audience, none for crew."),
        new("lookAt", Point, "The point that those in it look at, m; the middle of the fixtures when left out."));

    private static readonly ObjectValue LimitKeys =
        new ObjectValue("limits", "From what on the caution checks list something; what lies within them is no promise.").With(
            [.. CautionLimits.Settable.Select(l => new KeyRow(
                l.Key, l.Key == "flashes" ? new IntegerValue((int)l.From, (int)l.To) : new NumberValue(l.From, l.To), Said(l)))]);

    private static string Said(CautionLimitRow limit)
    {
        var unit = limit.Unit.Length > 0 ? " " + limit.Unit : "";
        return string.Create(CultureInfo.InvariantCulture,
            $"{char.ToUpperInvariant(limit.Meaning[0])}{limit.Meaning[1..]}; {limit.Get(CautionLimits.Default)}{unit} when left out ({limit.Source}).");
    }

    private static readonly ObjectValue RunKeys = new ObjectValue("a patch run", "Start here, in this order.").With(
        new("start", new EitherValue(Address, new ListValue(AddressOrNone, 1, 16)), "First address; a list has one a DMX break.", true),
        new("fixtures", Texts, "Names of hangs, fixtures or groups, in order; * stands for anything.", true),
        new("step", new IntegerValue(1, 512), "Addresses from one fixture to the next; its footprint when left out."),
        new("perUniverse", new IntegerValue(1, 512), "After so many the run goes on in the next universe at the address it started with."));

    private static readonly ObjectValue PresetKeys = new ObjectValue("a preset", "Another haze or exposure for the same rig, chosen by name.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("haze", HazeKeys, "The air between lens and floor."),
        new("evStep", new NumberValue(-10, 10), "Added to every camera's exposure value."),
        new("camera", Name, "The camera to show first."));

    private static readonly ObjectValue FocusKeys = new ObjectValue("a focus point", "A point that fixtures are focused on.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("at", Point, "Where it is, m.", true),
        new("uuid", Name, "Identity from another program (MVR)."));

    private static readonly ObjectValue ConnectionKeys = new ObjectValue("a connection", "A cable for power or data between two things, for paperwork.").With(
        new("from", Name, "Name of the fixture or piece of scenery that it starts at.", true),
        new("plug", Name, "The plug there."),
        new("to", Name, "Name of the other end.", true),
        new("toPlug", Name, "The plug there."));

    private static readonly ObjectValue SightKeys =
        new ObjectValue("a sight line", "From a place in the house nothing can be seen above the line from the eye under an edge.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("eye", Point, "Where the eye is, m.", true),
        new("edge", Point, "The edge that hides what lies above, upstage of the eye, m.", true));

    private static readonly ObjectValue MoveKeys =
        new ObjectValue("a move", "Moves what has a name in the tour rig or its paperwork.").With(
        new("what", Name,
            "A part, hang, fixture, group, position, piece of scenery, mirror, camera, area, volume, focus point or sight line; * stands for anything. A name "
            + "of the rig file means all its copies.",
            true),
        new("by", Point, "How far, m, in the coordinates of what holds it."),
        new("to", Point, "Instead: its new \"at\"."),
        new("trim", Number, "Its new height (z of \"at\"), m."),
        new("turn", Point, "Added to its \"rotate\", degrees."),
        new("size", Size3, "New size of a scenery piece or a volume, m."),
        new("alone", Flag, Alone),
        new("why", Text, "Why, for the list of changes."));

    private const string Alone =
        "True for only the one that bears this name in the paperwork: its mirror image and other copies stay as they are. False when left out.";

    private static readonly ObjectValue RemoveKeys = new ObjectValue("a removal", "Leaves out what has a name in the tour rig or its paperwork.").With(
        new("what", Name, "Its name; * stands for anything.", true),
        new("alone", Flag, Alone),
        new("why", Text, "Why, for the list of changes."));

    private static readonly ObjectValue RegionKeys =
        new ObjectValue("a region of the frame", "A rectangle with its own rule; sides as shares of the frame from the top left.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("left", Share, "Left side, 0 to 1.", true),
        new("top", Share, "Top side, 0 to 1.", true),
        new("width", Share, "Its width, 0 to 1.", true),
        new("height", Share, "Its height, 0 to 1.", true),
        new("ignore", Flag, "Nothing in it is compared; false when left out."),
        new("levels", new IntegerValue(0, 255), "Tolerance in it, levels of 255."));

    private static readonly ObjectValue CompareKeys =
        new ObjectValue("a rule for comparing frames", "What may differ when frames of two shows are compared; later rules win.").With(
        new("frames", Name, "Pattern of the frames' names, * and ? allowed; all when left out."),
        new("levels", new IntegerValue(0, 255), "Largest difference of a channel that passes, levels of 255; 2 when nothing says otherwise."),
        new("blockLevels", new NumberValue(0.01, 255), "Largest shift of the mean of a 32 x 32 block that passes, levels; 0.25 when nothing says otherwise."),
        new("changedShare", Share, "Share of the frame that may change."),
        new("edges", new ChoiceValue("forgive", "count"), "Whether jitter of edges that stay in place passes."),
        new("mask", Name, "A picture from this file's folder whose black pixels are not compared."),
        new("regions", Many(RegionKeys, 1000), "Rectangles with rules of their own."));

    private static readonly ObjectValue PartKeys = new("a part", "Things that move and turn as one: a truss with what hangs on it, a tower, a riser.");

    public static ObjectValue Rig { get; } = Build();

    /// <summary>Keys that a part and the rig itself both have.</summary>
    private static KeyRow[] Contents =>
    [
        new("scenery", new ListValue(PieceKeys), "Floors, walls, trusses, figures, set pieces."),
        new("mirrors", new ListValue(MirrorKeys), "Mirrors that do not move."),
        new("hangs", new ListValue(HangKeys), "The fixtures that hang or stand here."),
        new("parts", new ListValue(PartKeys), "Groups that are placed as one."),
    ];

    public static ObjectValue Venue { get; } = BuildVenue();

    private static ObjectValue BuildVenue() => new ObjectValue(
        "a venue", "A venue file laid over a tour rig: what this house moves, removes and adds. The tour's file stays as it is.").With(
    [
        new("$schema", Text, "Where an editor finds this schema."),
        new("name", Name, "Name of the venue.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("profiles", Texty, "Folders with fixture profiles of the house, from this file's folder."),
        new("remove", Many(new EitherValue(Name, RemoveKeys), 1000),
            "Names of parts, hangs, fixtures, groups, positions, scenery, mirrors, cameras, areas, volumes, focus points and sight lines that are left out "
            + "here; * stands for anything. Addresses of the others stay."),
        new("move", Many(MoveKeys, 1000), "What hangs or stands elsewhere here."),
        new("network", NetworkKeys.Network, "Instead of the tour's."),
        new("cameras", Many(CameraKeys, 1000), "Added; one with the name of a tour camera takes its place."),
        new("areas", Many(AreaKeys, 1000), "Added; one with the name of a tour area takes its place."),
        new("volumes", Many(VolumeKeys, 1000), "Added; one with the name of a tour volume takes its place."),
        new("limits", LimitKeys, "From what on the caution checks list something here; what isn't named stays as in the tour's file."),
        new("focusPoints", Many(FocusKeys, 10_000), "Added; one with the name of the tour's takes its place."),
        new("sightLines", Many(SightKeys, 100), "What can't be seen from where; one with the name of the tour's takes its place."),
        new("patchRuns", Many(RunKeys, 10_000),
            "Addresses of the house rig, and new ones for fixtures of the tour's that are named here; all others keep theirs."),
        .. Contents,
    ]);

    private static ObjectValue Build()
    {
        PartKeys.Keys =
        [
            new("name", Name, "Its name: the position of what hangs in it, unless a hang says otherwise.", true),
            new("notes", Text, "Notes for people; nothing reads them."),
            At,
            Rotate,
            new("row", RowKeys, "Several of it in a line; \"at\" is then measured from each place."),
            new("arc", ArcKeys, "Several on a circle; \"at\" is then measured from each place."),
            new("mirrored", Flag, "A second one, reflected about x = 0 of what holds it; false when left out."),
            new("mirroredName", Name, "Name of the reflected one; the same with \" mirrored\" when left out."),
            .. Contents,
        ];
        return new ObjectValue("a rig scene",
            "A StageView rig scene: what hangs where, how it is patched, and what stands around it. Metres; x to the audience's right, y upstage, z up; the "
            + "origin is the centre line at the downstage edge.").With(
        [
            new("$schema", Text, "Where an editor finds this schema."),
            new("name", Name, "Name of the rig; may be left out in included files."),
            new("notes", Text, "Notes for people; nothing reads them."),
            new("include", Texty, "Other rig files, from this file's folder; what they hold is added."),
            new("profiles", Texty, "Folders with fixture profiles, from this file's folder."),
            new("bounces", new IntegerValue(0, 4), "How many mirrors a beam may meet; 2 when left out."),
            new("network", NetworkKeys.Network, "What is listened to."),
            new("haze", HazeKeys, "The air between lens and floor."),
            new("cameras", Many(CameraKeys, 1000), "Views that pictures are drawn from; the first is used when none is named."),
            new("areas", Many(AreaKeys, 1000), "Where light is measured."),
            new("volumes", Many(VolumeKeys, 1000), "Where people may be."),
            new("limits", LimitKeys, "From what on the caution checks list something, where it differs from the usual."),
            new("content", Many(ContentKeys.Content, 1000), "Pictures and videos over pixel surfaces."),
            new("maps", Many(ContentKeys.Map, 1000), "Fixed maps from pixels to places in a picture."),
            new("focusPoints", Many(FocusKeys, 10_000), "Named points: for aim in rig, look and cue files, and for questions."),
            new("feeds", Many(NetworkKeys.Feed, 100), "Supplies that hangs name with \"feed\"."),
            new("connections", Many(ConnectionKeys, 100_000), "Cables between fixtures and scenery, for paperwork."),
            new("notTakenOver", Texts, "What an import could not take over; check tells it."),
            new("sightLines", Many(SightKeys, 100), "What can't be seen from where."),
            new("patchRuns", Many(RunKeys, 10_000), "Addresses given in one place: start here, in this order."),
            new("presets", Many(PresetKeys, 1000), "Other settings for the same rig."),
            new("compare", Many(CompareKeys, 1000), "What may differ when frames are compared."),
            .. Contents,
        ]);
    }
}
