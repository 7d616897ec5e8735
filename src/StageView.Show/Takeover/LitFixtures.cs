using StageView.Ground.Indices;
using StageView.Stage;

namespace StageView.Show.Takeover;

/// <summary>Which fixtures give light at a time: a beam, a laser, a pixel that isn't black.</summary>
internal static class LitFixtures
{
    public static HashSet<FixtureIndex> At(StageModel stage, double seconds)
    {
        var moment = stage.MomentAt(TimeSpan.FromSeconds(seconds), bounces: 0);
        var lit = new HashSet<FixtureIndex>();
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            lit.Add(beam.Fixture);
        }

        foreach (ref readonly var laser in moment.Lasers.Span)
        {
            lit.Add(laser.Fixture);
        }

        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            foreach (ref readonly var p in moment.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows))
            {
                if (p.X + p.Y + p.Z > 0)
                {
                    lit.Add(s.Fixture);
                    break;
                }
            }
        }

        return lit;
    }
}
