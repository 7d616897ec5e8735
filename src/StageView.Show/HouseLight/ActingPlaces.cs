using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Show.Questions;

namespace StageView.Show.HouseLight;

/// <summary>Finds the acting positions that are asked for, or the rig's own.</summary>
/// <param name="rig">The rig.</param>
/// <param name="scene">What stands there.</param>
/// <param name="face">Height of faces over where people stand, m.</param>
internal sealed class ActingPlaces(RigScene rig, OcclusionScene scene, float face)
{
    public const int Most = 400;

    /// <summary>Of a longer row no more points than this are aimed at.</summary>
    private const int MostAims = 12;

    /// <summary>A point no higher than this over what is under it is meant as a place to stand, m.</summary>
    private const float Standing = .3f;

    /// <summary>A performer's face lies so far before the middle of the figure, m, and at this share of its height (common practice, no source).</summary>
    private const float Before = .25f;

    private const float OfHeight = .92f;

    /// <exception cref="StopException">The rig has none, or not those asked for, or too many.</exception>
    public IReadOnlyList<ActingPosition> Find(IReadOnlyList<string> asked)
    {
        var found = (asked.Count > 0 ? asked.SelectMany(Named) : Own()).ToList();
        return found.Count == 0
            ? throw StopException.Wrong($"{rig.File} has no upright area, no performer and no focus point: name the acting positions with --on")
            : found.Count <= Most ? found : throw StopException.Wrong(string.Create(CultureInfo.InvariantCulture,
                $"these are {found.Count} acting positions, and {Most} are the most: name an area with fewer points, or points, with --on"));
    }

    private List<ActingPosition> Own()
    {
        var upright = rig.Areas.Where(a => MathF.Abs(a.Normal.Z) < .5f).SelectMany(Of).ToList();
        var people = rig.Scenery.Where(s => s.Kind == SceneryKind.Person && s.Carrier is null).Select(Of).ToList();
        return upright.Count > 0 ? upright : people.Count > 0 ? people
            : [.. rig.FocusPoints.Select(f => new ActingPosition(f.Name, 0, Raised(f.Position), true))];
    }

    private IEnumerable<ActingPosition> Named(string place)
    {
        if (rig.Areas.FirstOrDefault(a => a.Name.Equals(place, StringComparison.OrdinalIgnoreCase)) is { } area)
        {
            return Of(area);
        }

        if (Texts.TryPoint(place, out var point) || Texts.TryNamed(rig, place, out point))
        {
            return [new ActingPosition(place, 0, Raised(point), true)];
        }

        var people = rig.Scenery.Where(s => s.Kind == SceneryKind.Person && s.Carrier is null
            && s.Name.Equals(place, StringComparison.OrdinalIgnoreCase)).ToList();
        return people.Count > 0 ? people.Select((p, i) => Of(p) with { Number = people.Count > 1 ? i + 1 : 0 })
            : throw StopException.Wrong($"--on {place}: {rig.File} has no area, focus point or performer of that name"
                + Nearest.Among(place, [.. rig.Areas.Select(a => a.Name), .. rig.FocusPoints.Select(f => f.Name),
                    .. rig.Scenery.Where(s => s.Kind == SceneryKind.Person).Select(s => s.Name).Distinct()]));
    }

    private IEnumerable<ActingPosition> Of(MeasuringArea area)
    {
        var flat = MathF.Abs(area.Normal.Z) >= .5f;
        var (u, v) = (Aims(area.CountU), Aims(area.CountV));
        for (var i = 0; i < area.CountU * area.CountV && i <= Most; i++)
        {
            var (a, b) = (i % area.CountU, i / area.CountU);
            var at = area.Origin + (area.EdgeU * Share(a, area.CountU)) + (area.EdgeV * Share(b, area.CountV));
            yield return new ActingPosition(area.Name, area.CountU * area.CountV > 1 ? i + 1 : 0, flat ? at + (Vector3.UnitZ * face) : at,
                u.Contains(a) && v.Contains(b));
        }
    }

    private ActingPosition Of(SceneryPiece person)
    {
        // The figure's mesh is 1 m high, feet at the origin, and faces -y.
        var top = person.Pose.TransformPoint(new Vector3(0, -Before, OfHeight * person.Scale.Z));
        return new ActingPosition(person.Name, 0, top, true);
    }

    /// <summary>A point on the floor is where somebody stands: the face is over it.</summary>
    private Vector3 Raised(Vector3 point)
    {
        var from = point + (Vector3.UnitZ * .05f);
        var over = scene.Closest(from, -Vector3.UnitZ, 100, FixtureIndex.None, out var hit) ? hit.Distance - .05f : MathF.Abs(point.Z);
        return over <= Standing ? point + (Vector3.UnitZ * (face - MathF.Max(0, over))) : point;
    }

    private static float Share(int i, int count) => count <= 1 ? .5f : (float)i / (count - 1);

    /// <summary>Evenly spaced ones, the same from both ends.</summary>
    private static HashSet<int> Aims(int count)
    {
        var n = Math.Min(count, MostAims);
        return [.. Enumerable.Range(0, n).Select(k => k < (n + 1) / 2 ? (int)Math.Round(k * (count - 1.0) / Math.Max(1, n - 1), MidpointRounding.AwayFromZero)
            : count - 1 - (int)Math.Round((n - 1 - k) * (count - 1.0) / Math.Max(1, n - 1), MidpointRounding.AwayFromZero))];
    }
}
