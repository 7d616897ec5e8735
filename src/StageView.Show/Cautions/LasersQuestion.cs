using StageView.Light.Cautions;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Scans;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage;

namespace StageView.Show.Cautions;

/// <summary>Gathers what every laser does over one or more moments: where it ends, what it passes over, what it could reach.</summary>
public sealed class LasersQuestion
{
    /// <summary>Figures with more points are asked at their rays alone.</summary>
    private const int MostPoints = 2000;

    private readonly RigScene _rig;
    private readonly CautionLimits _limits;
    private readonly LaserGroups _groups;
    private readonly OcclusionScene _scene = new();
    private readonly LaserEnds _ends;
    private readonly LaserVolumes _volumes;
    private readonly LaserTimes _times;
    private readonly LaserRayPicker _rays = new();
    private readonly HashSet<(int Group, string Mirror)> _met = [];
    private readonly Dictionary<(int Group, int Scan), (LaserScan? Scan, float Watts)> _seen = [];
    private (double From, double To, int Count) _moments;

    /// <param name="rig">The rig.</param>
    /// <param name="limits">Every limit used; null for the rig's own.</param>
    public LasersQuestion(RigScene rig, CautionLimits? limits = null)
    {
        ArgumentNullException.ThrowIfNull(rig);
        (_rig, _limits) = (rig, limits ?? rig.Limits);
        _groups = new LaserGroups(rig);
        IReadOnlyList<WatchedVolume> volumes = [.. rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size))];
        _ends = new LaserEnds(rig, _limits, volumes);
        _volumes = new LaserVolumes(_limits, volumes);
        _times = new LaserTimes(rig);
    }

    /// <summary>Whether the rig has a laser at all.</summary>
    public bool HasLasers => _groups.Count > 0;

    /// <summary>Adds what one moment shows. Times must not decrease from call to call.</summary>
    /// <param name="stage">Whose moment.</param>
    /// <param name="time">Show time.</param>
    /// <param name="bounces">Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</param>
    public void Look(StageModel stage, TimeSpan time, int? bounces = null)
    {
        ArgumentNullException.ThrowIfNull(stage);
        var moment = stage.MomentAt(time, default, bounces);
        var seconds = time.TotalSeconds;
        var before = _moments.Count == 0 ? double.PositiveInfinity : _moments.To;
        _moments = (_moments.Count == 0 ? seconds : _moments.From, seconds, _moments.Count + 1);
        if (moment.Lasers.IsEmpty)
        {
            return;
        }

        _scene.Set(moment);
        var parents = new HashSet<int>();
        foreach (ref readonly var leg in moment.Lasers.Span)
        {
            if (leg.Bounces > 0)
            {
                parents.Add(leg.Parent);
            }
        }

        var lit = new Dictionary<int, (double Watts, HashSet<string> Scans)>();
        for (var i = 0; i < moment.Lasers.Length; i++)
        {
            ref readonly var leg = ref moment.Lasers.Span[i];
            var group = _groups.Of(leg.Fixture, leg.Emitter);
            var scan = LaserExposure.ScanOf(moment, leg);
            if (leg.Bounces == 0)
            {
                Lit(moment, leg, group, scan, lit);
            }
            else
            {
                _met.Add((group, Texts.Mirror(moment, leg.Mirror)));
            }

            _ends.Take(moment, _scene, i, group, parents.Contains(i));
            _volumes.Take(moment, leg, group);
            _rays.Take(moment, leg, _limits);
        }

        _ends.Close(moment, seconds, before);
        _volumes.Close(seconds, before);
        _times.Take(stage, time, before, lit);
    }

    /// <summary>What was found so far.</summary>
    public LasersAnswer Answer()
    {
        var ends = _ends.Answer(_groups);
        return new LasersAnswer
        {
            Moments = _moments,
            Limits = _limits,
            IrradianceLimit = VisibleExposure.Irradiance(_limits.ExposureSeconds),
            Lasers = [.. Enumerable.Range(0, _groups.Count).Select(g => Figures(g, ends))],
            Ends = ends,
            Volumes = _volumes.Answer(_groups),
            Mirrors = LaserReach.Of(_rig, _groups, _met),
            Times = _times.Answer(),
            NotChecked = NotChecked(),
            Rays = _rays.All,
            RaysLeftOut = _rays.LeftOut,
        };
    }

    private void Lit(Moment moment, in LaserBeam leg, int group, LaserScan? scan, Dictionary<int, (double Watts, HashSet<string> Scans)> lit)
    {
        var key = (group, scan is null ? 0 : moment.Scanners.Span[leg.Scanner - 1].Scan);
        if (!_seen.TryGetValue(key, out var seen) || leg.LitWatts > seen.Watts)
        {
            _seen[key] = (scan, leg.LitWatts);
        }

        var of = lit.TryGetValue(leg.Fixture.Value, out var known) ? known : (0, []);
        if (scan is not null)
        {
            of.Scans.Add(scan.Name);
        }

        // Rays of a figure share the power of their laser: its first ray stands for all.
        var first = scan is null || leg.ScanDirection == scan.Rays[0].Direction;
        lit[leg.Fixture.Value] = (of.Watts + (first ? leg.LitWatts : 0), of.Scans);
    }

    private LaserFigures Figures(int group, IReadOnlyList<LaserEnd> ends)
    {
        var (fixture, node, apertures) = _groups[group];
        var laser = node.Laser!;
        var seen = _seen.Where(s => s.Key.Group == group).Select(s => s.Value).ToList();
        var own = ends.Where(e => e.Fixture == fixture.Name && e.Aperture == node.Name).ToList();
        var full = new LaserSource(laser.PowerWatts, laser.ApertureMetres, laser.DivergenceRadians);
        var watts = seen.Count == 0 ? 0 : seen.Max(s => s.Watts);
        return new LaserFigures
        {
            Fixture = fixture.Name,
            Index = fixture.Index,
            Aperture = node.Name,
            Apertures = apertures,
            Watts = laser.PowerWatts,
            Wavelengths = laser.Wavelengths,
            ApertureMetres = laser.ApertureMetres,
            DivergenceRadians = laser.DivergenceRadians,
            Scans = [.. seen.Where(s => s.Scan is not null).Select(s => s.Scan!.Name).Distinct()],
            SeenWatts = watts,
            HazardDistance = seen.Select(s => Worst(s.Scan, full with { Watts = s.Watts })).DefaultIfEmpty(0).Max(),
            StillHazardDistance = LaserExposure.StillHazardDistance(full with { Watts = watts }, _limits),
            FullHazardDistance = LaserExposure.StillHazardDistance(full, _limits),
            MirrorHazardDistance = own.Where(e => e.Mirrors.Count > 0).Select(e => e.HazardDistance).DefaultIfEmpty(0).Max(),
            DiffuseHazardDistance = own.Select(e => e.DiffuseHazardDistance).DefaultIfEmpty(0).Max(),
        };
    }

    private double Worst(LaserScan? scan, LaserSource source) => scan switch
    {
        null => LaserExposure.StillHazardDistance(source, _limits),
        { Points.Count: <= MostPoints } => ScanExposure.HazardDistance(scan, source, null, _limits.ExposureSeconds, _limits.PupilMetres),
        _ => scan.Rays.Max(r => ScanExposure.HazardDistance(scan, source, r.Direction, _limits.ExposureSeconds, _limits.PupilMetres)),
    };

    private List<UncheckedThing> NotChecked()
    {
        var not = new List<UncheckedThing>
        {
            new("lasers that scan while their profile names no figure", "their ray is taken as standing still"),
            new("how real scanners round corners, lag or stop", "figures are drawn as they are written; the distance without scanning is told beside"),
            new("hot spots within a beam, telescopes, binoculars and cameras", "beams are taken as evenly bright and eyes as bare"),
            new("curved and edged glossy things", "only flat mirrors of the rig file reflect; other surfaces scatter evenly"),
            new("scattered light of several spots together", "each spot is held against the limit alone, with its whole power as if it stood still"),
            new("wavelengths below 400 nm and above 700 nm", "the limit is that of visible light"),
            new("interlocks, scan-fail safeguards, masks, emission controls and emergency stops", "they are not in a rig file"),
            new("what stands between a laser and the mirrors within reach", "reach is a matter of angles alone, and mirrors count as balls about them"),
            new("moments between those looked at", "the show is looked at in steps"),
        };
        if (_rig.Volumes.Count == 0)
        {
            not.Insert(0, new UncheckedThing("heights over people, distances from them and their exposure", "the rig names no volumes"));
        }

        return not;
    }
}
