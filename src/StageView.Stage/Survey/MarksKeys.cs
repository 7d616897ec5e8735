using StageView.Rig.Keys;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Stage.Survey;

/// <summary>The keys of a marks file.</summary>
internal static class MarksKeys
{
    public const int MostSightings = 2000;

    private static readonly ObjectValue SightingKeys = new ObjectValue("a sighting", "One head whose beam was put on one mark, and how it stood.").With(
        new("fixture", new EitherValue(Name, new IntegerValue(0)), "The head: its name or number.", true),
        new("mark", Name, "The mark, or one of the rig's focus points.", true),
        new("pan", Number, "Degrees, as explain and aim print them; with tilt. Without both they are taken from the capture."),
        new("tilt", Number, "Degrees."),
        new("time", new EitherValue(Text, new NumberValue(0, 360_000)),
            "When it stood there in the capture: seconds, minutes:seconds, tc:HH:MM:SS:FF or cue:NAME; --at when left out."),
        new("note", Text, "Notes for people; nothing reads them."));

    public static ObjectValue Marks { get; } = new ObjectValue(
        "a marks file", "A StageView marks file: taped marks of known place, and which heads were aimed at them.").With(
        new("$schema", Text, "Where an editor finds this schema."),
        new("name", Name, "What was surveyed; the venue file is called so.", true),
        new("notes", Text, "Notes for people; nothing reads them."),
        new("marks", new MapValue(Point, @"^\S(.{0,98}\S)?$", "names of 1 to 100 characters"),
            "The marks, [x, y, z] in metres in the rig's coordinates; beside them the rig's focus points may be used.", true),
        new("parts", Many(Name, 1000),
            "Parts that move as one with all that they hold; a head counts to the innermost one named here, else to the innermost part that holds it."),
        new("sightings", new ListValue(SightingKeys, 1, MostSightings) { IsBound = true }, "Which head was aimed at which mark.", true));
}
