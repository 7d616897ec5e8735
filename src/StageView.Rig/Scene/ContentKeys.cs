using StageView.Rig.Keys;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Rig.Scene;

/// <summary>Keys of pictures over pixels: fixed maps, contents and live inputs.</summary>
internal static class ContentKeys
{
    private static readonly KeyValue StartTimecode = new TextValue(@"^tc:\d\d:\d\d:\d\d[:;]\d\d$", "a timecode written tc:HH:MM:SS:FF");

    public static readonly ObjectValue Map =
        new ObjectValue("a map",
            "A fixed map from pixels to places in a picture, made of the rig at rest: turning axes at 0, travelling ones as they hang.").With(
        new("name", Name, "Its name; how content and questions call it.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("kind", new ChoiceValue("flat", "curve", "grid", "byHand"),
            "How: thrown flat; along the run of upright facets, so that equal lengths of wall are equal widths of picture; facet by facet in rows and "
            + "columns; or pixel by pixel from a file.",
            true),
        new("fixtures", Texts, "Fixtures or groups whose pixels it has, in this order, * stands for anything; all when left out."),
        new("corner", Point, "Flat: where the picture's top left corner lies, m."),
        new("across", Point, "Flat: from there along its top edge, m."),
        new("down", Point, "Flat: from there down its left edge, m."),
        new("columns", new IntegerValue(1, 10_000), "Grid: facets in a row; 1 when left out."),
        new("rows", new IntegerValue(1, 10_000), "Grid: rows of facets; 1 when left out."),
        new("order", new ChoiceValue("rows", "rowsSerpentine", "columns", "columnsSerpentine"), "Grid: how the fixtures go over it; rows when left out."),
        new("turn", new ChoiceValue("0", "90", "180", "270"),
            "Degrees clockwise that the picture (grid: each facet in its cell) is turned by; 0 when left out."),
        new("mirrored", Flag, "Whether it is then mirrored left to right; false when left out."),
        new("file", Name, "By hand: a CSV file from this file's folder: fixture, geometry, pixel, u, v, width, height, address."));

    private static readonly ObjectValue InputKeys =
        new ObjectValue("a live input", "A capture card, a camera, a screen or a stream on the network, read through ffmpeg. The newest picture wins.").With(
        new("address", Name, "The device (/dev/video0, :0.0) or the stream's address (rtsp://, srt://, rtp://, udp://, http://), as ffmpeg takes it.", true),
        new("format", new ChoiceValue("v4l2", "x11grab", "fbdev", "kmsgrab", "decklink", "avfoundation", "dshow", "gdigrab"),
            "ffmpeg's name of the device's kind; left out for a stream."),
        new("width", new IntegerValue(1, 1920), "What it is scaled to, pixels; 320 when left out."),
        new("height", new IntegerValue(1, 1080), "Pixels; 180 when left out."),
        new("rate", new IntegerValue(1, 240), "Frames a second asked of a device; its own when left out."));

    public static readonly ObjectValue Content =
        new ObjectValue("content",
            "A picture, an image sequence or a video laid over pixel surfaces: by a fixed map, or thrown along the normal of a rectangle in the stage's own "
            + "space onto the surfaces where they are. Levels from the wire come on top.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("file", Name, "Image, image sequence (frames/%05d.png) or video, from this file's folder; whatever ffmpeg reads."),
        new("input", InputKeys, "Instead of a file: a picture that comes in live. It is opened only where a command is told --inputs."),
        new("map", Name, "One of \"maps\" that places it, whatever moves; without it \"corner\", \"across\" and \"down\" say where it is thrown."),
        new("corner", Point, "Where the content's top left corner lies, m."),
        new("across", Point, "From there along its top edge, m."),
        new("down", Point, "From there down its left edge, m."),
        new("facingAway", new ChoiceValue("dark", "mirrored", "hold"),
            "What a surface shows that is turned away from where it is thrown from: nothing (when left out), what falls on its place, or what it has at rest."),
        new("luminance", new NumberValue(0, 1e6), "Luminance of its full white, cd/m²; only over pixels, and needed there."),
        new("through", Texts,
            "Fixtures or groups whose lamps throw it from their gates, as projectors do, instead of a place on pixels; their lumens are those of a white "
            + "picture, whose diagonal fills their beam."),
        new("start", new EitherValue(new NumberValue(0, 1e6), StartTimecode),
            "When its first frame shows: show time in s, or a timecode of the capture, such as \"tc:01:00:30:00\"; 0 when left out."),
        new("clock", new ChoiceValue("show", "timecode"),
            "What it follows from its start on: show time (when left out), or timecode, with which it jumps and holds; then \"start\" is a timecode."),
        new("offset", new NumberValue(0, 1e6), "Time within it that shows at its start, s; 0 when left out."),
        new("pace", new NumberValue(0.01, 100), "Seconds of it in a second of show; 1 when left out."),
        new("repeat", Flag, "Starts anew after its last frame; false when left out."),
        new("rate", new NumberValue(1, 240), "Frames a second of an image sequence; 25 when left out."),
        new("mix", new ChoiceValue("highest", "add", "levelsOver"),
            "With the levels: the higher of both (when left out), their sum, or the levels wherever they are above zero."),
        new("fixtures", Texts, "Fixtures or groups whose surfaces take it, * stands for anything; all when left out."));
}
