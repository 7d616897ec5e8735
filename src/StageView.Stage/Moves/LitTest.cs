using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Moves;

/// <summary>Whether a fixture gives light by its newest levels.</summary>
internal static class LitTest
{
    /// <summary>Dimmer × shutter from which a fixture counts as lit.</summary>
    private const float Lit = .01f;

    public static bool IsLit(FixtureRun run)
    {
        for (var e = 0; e < run.Tracks.Length; e++)
        {
            var s = run.Tracks[e].Latest;
            if (s.Dimmer * s.Open > Lit && GivesColour(run, run.Program.Emitters[e]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>An additive mix with every colour at zero is dark; a grid that only pixels drive counts as dark.</summary>
    private static bool GivesColour(FixtureRun run, EmitterCode emitter)
    {
        if (emitter.Block is not null && emitter.Node.Beam is null)
        {
            return false;
        }

        return !emitter.IsAdditive || emitter.Channels.Any(c => run.FunctionOf(c) is { } f
            && ((f.Op == AttributeOp.Add && run.Physical[c] > Lit)
                || (f.Op == AttributeOp.ColourMacro && MacroColours.Of(emitter, f, run.Sets[c]) is not null)));
    }
}
