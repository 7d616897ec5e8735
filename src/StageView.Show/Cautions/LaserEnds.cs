using System.Numerics;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;
using StageView.Show.Questions;

namespace StageView.Show.Cautions;

/// <summary>Where rays end, by what way, on what.</summary>
internal sealed class LaserEnds(RigScene rig, CautionLimits limits, IReadOnlyList<WatchedVolume> volumes)
{
    private readonly Dictionary<(int Group, string Way, string Surface), Known> _all = [];
    private readonly Dictionary<(int Group, string Way, string Surface), (int Leg, double Reflectance)> _now = [];

    /// <summary>Adds a leg of the moment, if it ends there.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="scene">What stands in it.</param>
    /// <param name="index">Which leg.</param>
    /// <param name="group">Whose.</param>
    /// <param name="goesOn">Whether another leg goes on from its end.</param>
    public void Take(Moment moment, OcclusionScene scene, int index, int group, bool goesOn)
    {
        ref readonly var leg = ref moment.Lasers.Span[index];
        var found = scene.Closest(leg.Origin + (leg.Direction * 1e-3f), leg.Direction, MomentBuilder.LaserFarLimit, leg.Fixture, out var hit);
        if (found && !hit.Mirror.IsNone && goesOn)
        {
            return;
        }

        var surface = found ? Texts.Surface(moment, rig, hit.Instance, hit.Mirror) : "";
        surface = found && !hit.Mirror.IsNone ? $"{surface}, where following ends" : surface;
        var albedo = found && !hit.Instance.IsNone ? moment[hit.Instance].Albedo : found ? Vector3.One : Vector3.Zero;
        var key = (group, string.Join('\n', Way(moment, leg)), surface);
        if (!_now.TryGetValue(key, out var near) || Path(leg) < Path(moment.Lasers.Span[near.Leg]))
        {
            _now[key] = (index, Math.Clamp(Math.Max(albedo.X, Math.Max(albedo.Y, albedo.Z)), 0, 1));
        }
    }

    /// <summary>The moment is over: of each way's rays the one with the shortest path counts.</summary>
    public void Close(Moment moment, double time, double before)
    {
        foreach (var (key, (index, reflectance)) in _now)
        {
            ref readonly var leg = ref moment.Lasers.Span[index];
            if (!_all.TryGetValue(key, out var known))
            {
                _all[key] = known = new Known();
            }

            known.Times.Add(time, before);
            var ratio = LaserExposure.Ratio(moment, leg, Path(leg), limits);
            if (known.Ratio < ratio || !known.IsTaken)
            {
                (known.Ratio, known.Leg, known.Reflectance) = (ratio, leg, reflectance);
                known.Hazard = LaserExposure.HazardDistance(moment, leg, limits);
                known.IsTaken = true;
            }
        }

        _now.Clear();
    }

    public IReadOnlyList<LaserEnd> Answer(LaserGroups groups) =>
        [.. _all.OrderBy(e => e.Key.Group).ThenBy(e => e.Value.Leg.Bounces).ThenBy(e => e.Key.Surface, StringComparer.Ordinal)
            .ThenBy(e => e.Key.Way, StringComparer.Ordinal).Select((e, i) => End(groups, i + 1, e.Key, e.Value))];

    /// <summary>The mirrors that a leg met before it, the first first.</summary>
    public static IReadOnlyList<string> Way(Moment moment, in LaserBeam leg)
    {
        var way = new List<string>();
        for (var l = leg; l.Bounces > 0; l = moment.Lasers.Span[l.Parent])
        {
            way.Add(Texts.Mirror(moment, l.Mirror));
        }

        way.Reverse();
        return way;
    }

    private static double Path(in LaserBeam leg) => leg.PathBefore + leg.Length;

    private LaserEnd End(LaserGroups groups, int number, (int Group, string Way, string Surface) key, Known known)
    {
        var leg = known.Leg;
        var (fixture, node, _) = groups[key.Group];
        var point = leg.Origin + (leg.Direction * leg.Length);
        var diffuse = key.Surface.Length == 0 ? 0
            : LaserHazard.DiffuseHazardDistance(leg.LitWatts, known.Reflectance, 1, VisibleExposure.Irradiance(limits.ExposureSeconds));
        return new LaserEnd
        {
            Number = number,
            Fixture = fixture.Name,
            Aperture = node.Name,
            Mirrors = key.Way.Length == 0 ? [] : key.Way.Split('\n'),
            Surface = key.Surface,
            From = leg.Origin,
            Point = point,
            PathMetres = Path(leg),
            Watts = leg.LitWatts,
            Irradiance = LaserHazard.Irradiance(leg.LitWatts, leg.ApertureMetres, leg.DivergenceRadians, Path(leg)),
            ExposureRatio = known.Ratio,
            HazardDistance = known.Hazard,
            Reflectance = known.Reflectance,
            DiffuseHazardDistance = diffuse,
            VolumeInDiffuse = volumes.FirstOrDefault(v => diffuse > 0
                && Distances.Between(Solid.Capsule(point, point, 0), Solid.Box(v)).Metres < diffuse)?.Name ?? "",
            Times = known.Times.All,
        };
    }

    private sealed class Known
    {
        public LaserBeam Leg { get; set; }

        public double Ratio { get; set; }

        public double Hazard { get; set; }

        public double Reflectance { get; set; }

        /// <summary>Whether a leg was taken yet.</summary>
        public bool IsTaken { get; set; }

        public Spells Times { get; } = new();
    }
}
