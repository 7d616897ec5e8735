using StageView.Rig.Keys;
using StageView.Stage.Looks;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Stage.Anchors;

/// <summary>The keys of an anchors file.</summary>
internal static class AnchorKeys
{
    private static readonly ObjectValue Anchor = new ObjectValue("an anchor", "What some positions are for, whatever is guessed.").With(
        LookKeys.Fixtures,
        new("position", new IntegerValue(1, 10_000), "Which of a fixture's positions, by its number; all when left out."),
        new("cue", Name, "Only positions that are used in this cue."),
        new("at", new EitherValue(Name, Point), "The point they are for, m, in today's venue; or its name.", true),
        new("via", new ListValue(Name, 0, 4), "The mirrors on the way, first met first; none when empty; as it was when left out."),
        new("note", Text, "Notes for people; nothing reads them."));

    public static ObjectValue Anchors { get; } = new ObjectValue("an anchors file", "A StageView anchors file: what the positions of a show are for.").With(
        new("$schema", Text, "Where an editor finds this schema."),
        new("notes", Text, "Notes for people; nothing reads them."),
        LookKeys.PointsRow,
        new("anchors", Many(Anchor, 10_000), "The first that fits a position holds.", true));
}
