using System.Numerics;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Moments;

namespace StageView.Show.Cautions;

/// <summary>How rays pass over and beside the volumes in which people may be.</summary>
internal sealed class LaserVolumes(CautionLimits limits, IReadOnlyList<WatchedVolume> volumes)
{
    private readonly SortedDictionary<(int Group, int Volume), Known> _all = [];

    public void Take(Moment moment, in LaserBeam leg, int group)
    {
        for (var v = 0; v < volumes.Count; v++)
        {
            if (!_all.TryGetValue((group, v), out var known))
            {
                _all[(group, v)] = known = new Known();
            }

            Take(moment, leg, volumes[v], known);
        }
    }

    public void Close(double time, double before)
    {
        foreach (var known in _all.Values.Where(k => k.ListedNow))
        {
            known.Times.Add(time, before);
            known.ListedNow = false;
        }
    }

    public IReadOnlyList<LaserOver> Answer(LaserGroups groups) => [.. _all.Select(e => new LaserOver
    {
        Fixture = groups[e.Key.Group].Fixture.Name,
        Volume = volumes[e.Key.Volume].Name,
        IsCrew = volumes[e.Key.Volume].IsCrew,
        LeastHeight = e.Value.Height,
        LeastSeparation = e.Value.Separation,
        Point = e.Value.Point,
        Enters = e.Value.Enters,
        IsListed = e.Value.Times.All.Count > 0,
        ExposureRatio = e.Value.Ratio,
        Times = e.Value.Times.All,
    })];

    private void Take(Moment moment, in LaserBeam leg, WatchedVolume volume, Known known)
    {
        // A beam has a width, and a ray of a figure stands for what lies between it and the next.
        var far = leg.PathBefore + leg.Length;
        var margin = (leg.ScanRadius * far) + ((float)LaserSource.Of(leg).DiameterAt(far) / 2);
        if (LaserHazard.HeightOver(leg, volume, out var height))
        {
            known.Height = Math.Min(known.Height ?? double.PositiveInfinity, Math.Max(Math.Min(0, height), height - margin));
        }

        var apart = Distances.Between(Solid.Capsule(leg.Origin, leg.Origin + (leg.Direction * leg.Length), 0), Solid.Box(volume));
        var separation = Math.Max(0, apart.Metres - margin);
        if (separation < known.Separation)
        {
            (known.Separation, known.Point) = (separation, apart.PointA);
        }

        if (volume.Crossing(leg.Origin, leg.Direction, leg.Length, margin, out var from, out _))
        {
            known.Enters = known.ListedNow = true;
            known.Ratio = Math.Max(known.Ratio, LaserExposure.Ratio(moment, leg, leg.PathBefore + from, limits));
        }
        else if (volume.CrossingNear(leg.Origin, leg.Direction, leg.Length, (float)limits.LaserSideMetres + margin,
            (float)limits.LaserHeightMetres + margin, out _, out _))
        {
            known.ListedNow = true;
        }
    }

    private sealed class Known
    {
        public double? Height { get; set; }

        public double Separation { get; set; } = double.PositiveInfinity;

        public Vector3 Point { get; set; }

        public bool Enters { get; set; }

        public bool ListedNow { get; set; }

        public double Ratio { get; set; }

        public Spells Times { get; } = new();
    }
}
