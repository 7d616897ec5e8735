using System.Numerics;
using StageView.Light.Moments;
using StageView.Render.Aids;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;

namespace StageView.Show.Frames;

/// <summary>What reading aids know of a rig's fixtures.</summary>
internal static class AidFixtures
{
    /// <summary>Labels point at the lens of a lit fixture, else at the middle of its surface, else at where it hangs.</summary>
    public static AidFixture[] Of(RigScene rig, Moment moment)
    {
        var points = new Vector3?[rig.Fixtures.Count];
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (beam.Bounces == 0 && !beam.Fixture.IsNone && beam.Fixture.Value < points.Length)
            {
                points[beam.Fixture.Value] ??= beam.Apex + (beam.Axis * beam.StartDistance);
            }
        }

        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            if (!surface.Fixture.IsNone && surface.Fixture.Value < points.Length)
            {
                points[surface.Fixture.Value] ??= surface.Shape == PixelShape.Globe ? surface.Origin
                    : surface.Origin + ((surface.EdgeU + surface.EdgeV) * 0.5f);
            }
        }

        var hung = PlacesAtRest.Roots(rig);
        var patch = new PatchLookup(rig);
        return [.. rig.Fixtures.Select(f => new AidFixture(f.Name, points[f.Index.Value] ?? hung[f.Index.Value].Position, patch.UniversesOf(f)))];
    }
}
