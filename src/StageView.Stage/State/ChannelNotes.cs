using StageView.Rig.Profiles;
using StageView.Stage.Programs;

namespace StageView.Stage.State;

/// <summary>What stands behind a channel's value, in words.</summary>
internal static class ChannelNotes
{
    public static string Of(FixtureRun run, int channel, FunctionCode f)
    {
        var set = run.Sets[channel];
        switch (f.Op)
        {
            case AttributeOp.ColourMacro when set >= 0 && f.Sets[set].WheelSlot > 0:
                return "the colour of its wheel's slot";
            case AttributeOp.ColourMacro when !ColourNames.IsIdle(f.Chosen(set)) && ColourNames.Find(f.Chosen(set)) is not null
                && !MacroColours.IsWhiteAtFirst(f, set):
                return "the colour that its name says, as bright as the fixture can make it";
            case AttributeOp.DimmerCurve:
                return f.Response(set) is { } response ? response + (Bends(run, channel) ? "" : "; no dimmer here follows it") : "";
            case AttributeOp.Strobe when f.Source.Attribute.EndsWith("Effect", StringComparison.OrdinalIgnoreCase):
                return "shown as even flashes, no file says what the effect looks like";
            case AttributeOp.ColourWheelRandom or AttributeOp.GoboWheelRandom:
                return "slots by a chance of StageView's own, not the fixture's";
            default:
                return "";
        }
    }

    private static bool Bends(FixtureRun run, int channel) => run.Program.DimmerCurves.Any(d => d.Chooser == channel
        && d.Dimmers.Any(c => run.FunctionOf(c) is { Op: AttributeOp.Dimmer, FollowsCurve: true }));
}
