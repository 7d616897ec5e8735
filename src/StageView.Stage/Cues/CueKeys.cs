using StageView.Rig.Keys;
using StageView.Stage.Looks;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Stage.Cues;

/// <summary>The keys of a cue file.</summary>
internal static class CueKeys
{
    private const string TimeSaid = "seconds, minutes:seconds such as 1:02.5, bars and beats such as bar 17 beat 3 (with a tempo), or timecode hh:mm:ss:ff";

    private static readonly KeyValue Time = new EitherValue(new NumberValue(0, CueClock.MaxSeconds), new TextValue(null, "a time: " + TimeSaid));
    private static readonly KeyValue Seconds = new EitherValue(
        new NumberValue(0, 3600), new TextValue(null, "a length of time such as \"2 beats\" or \"1 bar\""));

    private static readonly KeyValue Curve = new ChoiceValue([.. FadeCurve.Words]);
    private static readonly KeyValue Ip4 = new TextValue(@"^\d{1,3}(\.\d{1,3}){3}$", "an IPv4 address");

    private static readonly KeyRow FadeRow = new("fade", Seconds,
        "How long it takes, s, or beats and bars such as \"2 beats\"; the cue's when left out of an entry, 0 when left out of a cue.");
    private static readonly KeyRow DelayRow = new("delay", Seconds,
        "How long it waits before it starts, s; the cue's when left out of an entry, 0 when left out of a cue.");

    private static readonly KeyRow CurveRow = new("curve", Curve,
        "How a fade runs: linear (when left out); smooth starts and ends slowly, 3x²-2x³; slowStart is x², slowEnd 1-(1-x)².");

    private static readonly ObjectValue TimecodeKeys = new ObjectValue("timecode", "The timecode that runs with the show, sent as ArtTimeCode.").With(
        new("start", Name, "Timecode at time 0, hh:mm:ss:ff; 01:00:00:00 when left out."),
        new("rate", new ChoiceValue([.. CueClock.RateWords]), "Frames a second (SMPTE 12M); 25 when left out."));

    private static readonly ObjectValue TempoKeys = new ObjectValue("tempo", "How fast the music is: times may then be bars and beats.").With(
        new("bpm", new NumberValue(10, 999), "Beats a minute.", true),
        new("beatsPerBar", new IntegerValue(1, 32), "Beats in a bar; 4 when left out."),
        new("start", new NumberValue(0, CueClock.MaxSeconds), "When bar 1 begins, s; 0 when left out."));

    private static readonly ObjectValue SoundKeys = new ObjectValue("sound", "The music; `live` plays it with the show.").With(
        new("file", Name, "A sound file beside the cue file.", true),
        new("start", Time, "When it begins: " + TimeSaid + "; 0 when left out."));

    private static readonly ObjectValue PlayKeys = new ObjectValue("a play", "A section, played at a time.").With(
        new("section", Name, "Which.", true),
        new("time", Time, "When: " + TimeSaid + ".", true),
        new("name", Name, "What goes before the names of its cues; the section's name when left out, numbered where it is played more than once."),
        new("note", Text, "Notes for people; nothing reads them."));

    private static readonly ObjectValue SendingKeys = new ObjectValue("sending", "Who sends the levels, as the capture shows it.").With(
        new("source", Name, "The source name of sACN; \"cue file\" when left out."),
        new("from", Ip4, "Address that sACN comes from; 192.0.2.10 when left out (an address for documentation)."),
        new("artNetFrom", Ip4, "Address that Art-Net comes from; 192.0.2.20 when left out."),
        new("artNetTo", Ip4, "Address that Art-Net goes to; 192.0.2.60 when left out."),
        new("start", Name, "Date and time of the first packet, such as 2026-03-14T20:00:00Z; 2000-01-01 when left out."));

    private static readonly ObjectValue PictureKeys = new ObjectValue("a picture", "A time that makes a good picture.").With(
        new("name", Name, "What `--at cue:NAME` calls it.", true),
        new("time", Time, "When: " + TimeSaid + ".", true),
        new("camera", Name, "The camera it is best seen from."),
        new("note", Text, "What can be seen."));

    private static readonly ObjectValue CueKey = new ObjectValue("a cue", "What happens at a time; it stays until a later cue changes it.").With(
        new("time", Time, "When: " + TimeSaid + ".", true),
        new("name", Name, "Its name: `--at cue:NAME` finds it."),
        new("note", Text, "Notes for people; nothing reads them."),
        FadeRow,
        DelayRow,
        CurveRow,
        new("set", Many(LookKeys.EntryOf(
        [
            FadeRow,
            DelayRow,
            CurveRow,
            new("over", Seconds, "The fixtures start one after another, the last of them so many seconds after the first; together when left out."),
        ]), LookKeys.MaxEntries), "What fixtures shall do, as in a look file."));

    private static readonly ObjectValue ChaseKeys = new ObjectValue("a chase", "An attribute that runs through a selection, over what the cues set.").With(
        new("from", Time, "When it starts: " + TimeSaid + ".", true),
        new("to", Time, "When it ends.", true),
        LookKeys.Fixtures,
        LookKeys.Order,
        new("attribute", Name, "A word of the entries or an attribute of DIN SPEC 15800; Dimmer when left out."),
        new("shape", new ChoiceValue([.. CueChase.Shapes]),
            "sine (when left out), saw falls from high to low, pulse is high for a share of the period, swing goes up and down evenly, random is high or low."),
        new("low", Number, "Lowest value, in the attribute's unit; 0 when left out."),
        new("high", Number, "Highest value; 1 when left out."),
        new("period", new EitherValue(new NumberValue(.01, 3600), new TextValue(null, "a length of time such as \"2 beats\" or \"1 bar\"")),
            "Seconds of one run, or beats and bars; 1 s when left out."),
        new("spread", new NumberValue(-100, 100), "Periods from the first fixture to one after the last; 1 when left out, 0 for all together."),
        new("width", Share, "For pulse and random: share of the period, or of the fixtures, that is high; .5 when left out."),
        new("fade", Seconds, "Seconds in which it comes and goes; 0 when left out."),
        new("note", Text, "Notes for people; nothing reads them."));

    private static readonly ObjectValue PixelKeys = new ObjectValue(
        "a pattern", "A moving picture over the pixels of a selection, taken as one canvas: fixtures side by side in order, x and y from 0 to 1.").With(
        new("from", Time, "When it starts: " + TimeSaid + ".", true),
        new("to", Time, "When it ends.", true),
        LookKeys.Fixtures,
        LookKeys.Order,
        new("pattern", new ChoiceValue([.. CuePixels.Patterns]),
            "run is a front with a tail (when left out), chase lights stretches in turn, gradient goes from one colour to the other, wave swells along a line, "
            + "rings widen, bars rise and fall, climb rises in stripes, ember glows, solid is one colour."),
        new("colour", Name, "The first colour, #rrggbb or a temperature; #ffffff when left out."),
        new("second", Name, "The second colour; #000000 when left out."),
        new("speed", new NumberValue(-100, 100), "Canvases a second, or what goes for it; 1 when left out."),
        new("size", new NumberValue(.01, 100), "How coarse the pattern is; 1 when left out."),
        new("angle", new NumberValue(-360, 360),
            "For chase, gradient and wave: which way they go, degrees from the right towards the bottom; 0 when left out."),
        new("level", Share, "How bright it is at most; 1 when left out."),
        new("fade", Seconds, "Seconds in which it comes and goes; .5 when left out."),
        new("note", Text, "Notes for people; nothing reads them."));

    private static readonly KeyRow CuesRow = new("cues", Many(CueKey, 10_000), "What happens when.");
    private static readonly KeyRow ChasesRow = new("chases", Many(ChaseKeys, 1000), "Attributes that run through selections, on top of the cues.");
    private static readonly KeyRow PixelsRow = new("pixels", Many(PixelKeys, 1000),
        "Patterns over pixels, on top of the cues; a later one hides an earlier one.");

    private static readonly ObjectValue SectionKeys = new ObjectValue("a section",
        "A stretch that is played several times, such as a chorus: its times count from where it is played.").With(
        new("name", Name, "What `plays` call it.", true),
        new("note", Text, "Notes for people; nothing reads them."),
        CuesRow,
        ChasesRow,
        PixelsRow);

    public static ObjectValue Cues { get; } = new ObjectValue("a cue file", "A StageView cue file: what a show does when, in physical units.").With(
        new("$schema", Text, "Where an editor finds this schema."),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("length", Time, "How long the show is: " + TimeSaid + ".", true),
        new("rate", new IntegerValue(1, 60), "How often levels are sent, Hz; 40 when left out (DMX512 carries at most 44 a second of all 512 levels)."),
        new("seed", new IntegerValue(0, 1_000_000), "What chance starts from: the same number gives the same show; 1 when left out."),
        new("timecode", TimecodeKeys, "The timecode that runs with it."),
        new("tempo", TempoKeys, "How fast the music is."),
        new("sound", SoundKeys, "The music."),
        new("artNet", Many(new IntegerValue(1, 63_999), 10_000), "Universes that are sent as Art-Net; the others are sent as sACN."),
        new("sending", SendingKeys, "Who sends."),
        LookKeys.PointsRow,
        new("pictures", Many(PictureKeys, 10_000), "Times that make good pictures."),
        CuesRow,
        ChasesRow,
        PixelsRow,
        new("sections", Many(SectionKeys, 1000), "Stretches that are played several times."),
        new("plays", Many(PlayKeys, 1000), "When sections are played."));
}
