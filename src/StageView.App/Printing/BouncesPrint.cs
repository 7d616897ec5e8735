using StageView.Ground.Files;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Paths;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using static StageView.Show.Questions.Texts;

namespace StageView.App.Printing;

/// <summary>How the ways of beams are told to people and programs.</summary>
internal static class BouncesPrint
{
    /// <summary>Draws the paths in plan and section, and says so.</summary>
    public static void Draw(RigScene rig, BouncesAnswer answer, string file)
    {
        WholeFile.WriteText(file, PathSvg.Write(answer.Moment, answer.Beams, [.. rig.Fixtures.Select(f => f.Name)], rig.Name + ": paths of beams"));
        Console.Error.WriteLine("stageview: wrote " + file);
    }

    public static void Print(RigScene rig, BouncesAnswer answer, bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                rig = rig.Name, seconds = answer.Moment.Time.TotalSeconds,
                beams = answer.Beams.Select(r => Describe(rig, answer.Moment, r)), mirrors = answer.Mirrors,
                caution = EyeCaution.Text,
            });
            return;
        }

        Answers.Table(
            ["fixture", "by way of", "lands on", "at x, y, z", "throw m", "from normal", "spot m", "footprint m", "centre lx", "mean lx", "flux lm", "share",
                "ghost"],
            answer.Beams.OrderBy(r => r.Fixture).ThenBy(r => r.Mirrors.Length).Select(r => Row(rig, answer.Moment, r)));
        if (answer.Mirrors.Count > 0)
        {
            Answers.Table(
                ["mirror", "beams", "carried on lm", "cut off at its outline (mean share)"],
                answer.Mirrors.Select(m => (string[])[m.Mirror, $"{m.Beams}", F(m.CarriedOn, "0"), F(100 * m.CutOff, "0") + " %"]));
        }

        Console.WriteLine(
            "spot: diameter at the beam angle (50 %) / field angle (10 % of the centre); mean lx over the footprint at the field angle; share: of the "
            + "fixture's own flux; ghost: front reflection of a rear-metalled sheet and its offset");
        Console.WriteLine(EyeCaution.Text);
    }

    private static string[] Row(RigScene rig, Moment moment, BounceReport r) =>
    [
        Fixture(rig, r.Fixture) + (r.Emitter > 0 ? $" #{r.Emitter + 1}" : ""),
        r.Mirrors.Length == 0 ? "direct" : string.Join(" > ", r.Mirrors.Select(m => Mirror(moment, m))),
        r.Landing is { } l ? Surface(moment, rig, l.Instance, l.Mirror) : "nothing",
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

    private static object Describe(RigScene rig, Moment moment, BounceReport r) => new
    {
        fixture = Fixture(rig, r.Fixture),
        emitter = r.Emitter,
        mirrors = r.Mirrors.Select(m => Mirror(moment, m)).ToArray(),
        path = r.Path.Select(Array).ToArray(),
        landsOn = r.Landing is { } l ? Surface(moment, rig, l.Instance, l.Mirror) : null,
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
}
