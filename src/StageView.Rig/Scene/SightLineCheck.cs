using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Which pixel surfaces, globes and mirrors can't be seen from a place in the house, at rest.</summary>
internal static class SightLineCheck
{
    public static void Warn(RigScene rig, ProblemList problems)
    {
        if (rig.SightLines.Count == 0)
        {
            return;
        }

        var places = PlacesAtRest.Places(rig);
        foreach (var line in rig.SightLines)
        {
            var slope = (line.Edge.Z - line.Eye.Z) / (line.Edge.Y - line.Eye.Y);
            bool Hidden(System.Numerics.Vector3 p) => p.Y > line.Edge.Y && p.Z > line.Eye.Z + (slope * (p.Y - line.Eye.Y));
            var hidden = rig.Fixtures
                .Where(f => f.Mode.Geometry.Any(
                    g => (g.Pixels is not null || g.Beam?.Kind == BeamKind.Glow) && Hidden(places[f.Index.Value][g.Index].Position)))
                .Select(f => f.Name)
                .Concat(rig.Mirrors.Where(m => m.Corners.All(Hidden)).Select(m => m.Name)).ToList();
            if (hidden.Count > 0)
            {
                var shown = string.Join(", ", hidden.Take(8))
                    + (hidden.Count > 8 ? string.Create(CultureInfo.InvariantCulture, $" and {hidden.Count - 8} more") : "");
                problems.Warn(SourcePlace.WholeOf(rig.File), $"sight line \"{line.Name}\": {hidden.Count} can't be seen from there: {shown}");
            }
        }
    }
}
