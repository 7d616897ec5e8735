using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Paths;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Stage.Looks;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>Where beams go, as told to people and programs.</summary>
internal sealed class BouncesAnswer
{
    private readonly RigScene _rig;
    private readonly Moment _moment;
    private readonly IReadOnlyList<BounceReport> _reports;

    private BouncesAnswer(RigScene rig, Moment moment, IReadOnlyList<BounceReport> reports) => (_rig, _moment, _reports) = (rig, moment, reports);

    public IReadOnlyList<BounceReport> Reports => _reports;

    public static BouncesAnswer Of(RigScene rig, Moment moment, string? fixtures, bool reflectedOnly)
    {
        HashSet<FixtureIndex>? wanted = null;
        if (fixtures is not null)
        {
            wanted = FixtureSelection.TryFind(rig, fixtures, out var found, out var why)
                ? [.. found.Select(f => new FixtureIndex(f.Index))]
                : throw StopException.Wrong($"--fixture {fixtures}: {why}");
        }

        var scene = OcclusionScene.From(moment);
        var all = BounceReports.Of(new LightMeter(moment, scene), scene);
        return new BouncesAnswer(rig, moment, [.. all.Where(r => (wanted is null || wanted.Contains(r.Fixture)) && (!reflectedOnly || r.Mirrors.Length > 0))]);
    }

    public void Draw(string file)
    {
        File.WriteAllText(file, PathSvg.Write(_moment, _reports, [.. _rig.Fixtures.Select(f => f.Name)], _rig.Name + ": paths of beams"));
        Console.Error.WriteLine("stageview: wrote " + file);
    }

    public void Print(bool json)
    {
        if (json)
        {
            Answers.WriteJson(new { rig = _rig.Name, seconds = _moment.Time.TotalSeconds, beams = _reports.Select(Describe), mirrors = Mirrors() });
            return;
        }

        Answers.Table(
            ["fixture", "by way of", "lands on", "at x, y, z", "throw m", "from normal", "spot m", "footprint m", "centre lx", "mean lx", "flux lm", "share", "ghost"],
            _reports.OrderBy(r => r.Fixture).ThenBy(r => r.Mirrors.Length).Select(Row));
        var mirrors = Mirrors().ToList();
        if (mirrors.Count > 0)
        {
            Answers.Table(
                ["mirror", "beams", "carried on lm", "cut off at its outline (mean share)"],
                mirrors.Select(m => (string[])[m.Mirror, $"{m.Beams}", F(m.CarriedOn, "0"), F(100 * m.CutOff, "0") + " %"]));
        }

        Console.WriteLine("spot: diameter at the beam angle (50 %) / field angle (10 % of the centre); mean lx over the footprint at the field angle; share: of the fixture's own flux; ghost: front reflection of a rear-metalled sheet and its offset");
    }

    private string[] Row(BounceReport r) =>
    [
        Fixture(_rig, r.Fixture) + (r.Emitter > 0 ? $" #{r.Emitter + 1}" : ""),
        r.Mirrors.Length == 0 ? "direct" : string.Join(" > ", r.Mirrors.Select(m => Mirror(_moment, m))),
        r.Landing is { } l ? Surface(_moment, _rig, l.Instance, l.Mirror) : "nothing",
        r.Landing is { } at ? Point(at.Point) : "",
        r.Landing is { } t ? F(t.ThrowMetres, "0.00") : "",
        r.Landing is { } i ? F(Angles.Degrees(i.IncidenceRadians), "0") + "°" : "",
        r.Footprint is { SpotAtFieldAngle: > 0 } s ? F(s.SpotAtBeamAngle, "0.00") + "/" + F(s.SpotAtFieldAngle, "0.00") : "",
        r.Footprint is { Area: > 0 } p ? F(p.Length, "0.00") + " x " + F(p.Width, "0.00") : "",
        r.Landing is { } e ? F(e.CentreLux, "0") : "",
        r.Footprint is { Area: > 0 } m ? F(m.MeanLux, "0") : "",
        F(r.Flux, "0"),
        F(100 * r.Share, "0.0") + " %",
        r.GhostShare > 0 ? F(100 * r.GhostShare, "0.0") + " %, " + F(1000 * r.GhostOffset, "0.0") + " mm" : "",
    ];

    private object Describe(BounceReport r) => new
    {
        fixture = Fixture(_rig, r.Fixture),
        emitter = r.Emitter,
        mirrors = r.Mirrors.Select(m => Mirror(_moment, m)).ToArray(),
        path = r.Path.Select(Array).ToArray(),
        landsOn = r.Landing is { } l ? Surface(_moment, _rig, l.Instance, l.Mirror) : null,
        point = r.Landing is { } a ? Array(a.Point) : null,
        onAxis = r.Landing?.OnAxis,
        throwMetres = r.Landing?.ThrowMetres,
        incidenceDegrees = r.Landing is { } i ? Angles.Degrees(i.IncidenceRadians) : (float?)null,
        centreLux = r.Landing?.CentreLux,
        meanLux = r.Footprint?.MeanLux,
        spotAtBeamAngle = r.Footprint?.SpotAtBeamAngle,
        spotAtFieldAngle = r.Footprint?.SpotAtFieldAngle,
        footprint = r.Footprint?.Outline.Select(Array).ToArray(),
        footprintArea = r.Footprint?.Area,
        fluxLumens = r.Flux,
        share = r.Share,
        cutOffShare = r.CutOff,
        ghostShare = r.GhostShare,
        ghostOffsetMetres = r.GhostOffset,
    };

    private IEnumerable<MirrorSum> Mirrors() =>
        _reports.Where(r => r.Mirrors.Length > 0).GroupBy(r => r.Mirrors[^1]).OrderBy(g => g.Key)
            .Select(g => new MirrorSum(Mirror(_moment, g.Key), g.Count(), g.Sum(r => r.Flux), g.Average(r => r.CutOff)));

    private sealed record MirrorSum(string Mirror, int Beams, double CarriedOn, double CutOff);
}
