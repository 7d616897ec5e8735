using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using StageView.Show.Rigs;
using StageView.Stage;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Cautions;

/// <summary>
/// From a rig file to the answer; distances by hand within 1 %. The limit for .25 s is 18·.25^.75/.25 = 25.456 W/m² (IEC 60825-1:2014, table A.1; aversion
/// response 4.3 e); hazard distance (√(4P/(π·limit)) - a)/φ (IEC 60825-14, ANSI Z136.1).
/// </summary>
public sealed class LasersQuestionTests : IDisposable
{
    private const string Fan = """, "figure": { "shape": "fan", "angle": 45.8366, "rays": 9, "rest": 10, "travel": 5, "rate": 30000 }""";
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Rig(string more, string figure = "", string power = "1", string channels = "", string axis = "")
    {
        _folder.File("laser.fixture.jsonc", $$"""
            {
              "name": "Laser",
              "wheels": [{ "name": "figures", "slots": [{ "name": "none" }, { "name": "fan"{{Fan}} }] }],
              "geometry": [{ "name": "head"{{axis}}, "parts": [
                { "name": "aperture", "laser": { "power": {{power}}, "wavelengths": [532], "aperture": 0.005, "divergence": 1{{figure}} } }] }],
              "modes": [{ "name": "only", "channels": [{ "attribute": "Dimmer", "default": 255 }{{channels}}] }]
            }
            """);
        return RigFiles.Open(_folder.File("lasers.rig.jsonc", $$"""
            { "name": "Lasers", "profiles": ["."], {{more}} }
            """));
    }

    private static LasersAnswer Ask(RigScene rig, Action<StageModel>? levels = null, CautionLimits? limits = null)
    {
        var question = new LasersQuestion(rig, limits);
        var stage = new StageModel(rig);
        levels?.Invoke(stage);
        question.Look(stage, TimeSpan.FromSeconds(1));
        return question.Answer();
    }

    // A laser at 6 m along +y.
    private static string Level(string more = "") =>
        """ "hangs": [{ "name": "laser", "profile": "laser", "at": [0, 0, 6], "rotate": [90, 0, 0], "patch": "1.1" }] """ + more;

    private static string Wall => """
        , "scenery": [{ "name": "wall", "shape": "plane", "at": [0, 30, 6], "rotate": [90, 0, 0], "size": [60, 30, 1], "albedo": 0.2 }]
        """;

    private static void Near(double expected, double actual, double relative = 0.01) =>
        Assert.True(Math.Abs(expected - actual) <= relative * Math.Abs(expected), string.Create(CultureInfo.InvariantCulture, $"{actual}, not {expected}"));

    // 1 W, 5 mm, 1 mrad: (√(4/(π·25.456)) - .005)/10⁻³ = 218.65 m. At the wall, 30 m on, 4/(π·.035²) = 1039.4 W/m², 40.83 times the limit. The matt wall
    // throws back .2 W: √(.2/(π·25.456)) = .0500 m (Lambert's law).
    [Fact]
    public void A_beam_that_stands_still_by_hand()
    {
        var answer = Ask(Rig(Level(Wall)));
        var laser = Assert.Single(answer.Lasers);
        Near(218.65, laser.HazardDistance);
        Near(218.65, laser.StillHazardDistance);
        Assert.Empty(laser.Scans);
        var end = Assert.Single(answer.Ends);
        Assert.Equal(("wall", 0), (end.Surface, end.Mirrors.Count));
        Near(30, end.PathMetres);
        Near(1039.4, end.Irradiance);
        Near(40.83, end.ExposureRatio);
        Near(0.0500, end.DiffuseHazardDistance);
        Near(0.0500, laser.DiffuseHazardDistance);
        Assert.Equal(25.456, answer.IrradianceLimit, 0.001);
    }

    // Nine rays, a pulse of 333 µs on each every 4.5 ms (4.3 f: the single pulse is the strictest): 18·(3.333·10⁻⁴)^.75 = .04441 J/m² allows 133.2 W/m², so
    // (√(4/(π·133.2)) - .005)/10⁻³ = 92.8 m; should the scanners stop, 218.65 m.
    [Fact]
    public void A_scanned_fan_by_hand()
    {
        var answer = Ask(Rig(Level(Wall), Fan));
        var laser = Assert.Single(answer.Lasers);
        Near(92.8, laser.HazardDistance);
        Near(218.65, laser.StillHazardDistance);
        Assert.Equal(["fan"], laser.Scans);
        Near(1, laser.SeenWatts);
        var end = Assert.Single(answer.Ends);
        Near(30, end.PathMetres);
        Near(1039.4 / 133.2, end.ExposureRatio);
        // Rays of a figure have the power of one laser together.
        Near(1, Assert.Single(answer.Times).Watts);
    }

    // A circle of .5 rad once in half a second: an eye gets one pulse in .25 s. With ω = π·.5/.5 = π rad/s a place at r is lit for D/(ωr), D = a + φr:
    // 4P/(πD²)·D/(ωr) = 18·(D/(ωr))^.75, so D^1.75·(ωr)^.25 = 4P/(18π) = .035368 for .5 W: r = 64.38 m.
    [Fact]
    public void One_pulse_of_a_slow_circle_by_hand()
    {
        var answer = Ask(Rig(Level(Wall), """, "figure": { "shape": "circle", "angle": 28.6479, "points": 1000, "rate": 2000 }""", "0.5"));
        Near(64.38, Assert.Single(answer.Lasers).HazardDistance);
    }

    // A mirror of .9 leaves .9 W: (√(4·.9/(π·25.456)) - .005)/10⁻³ = 207.17 m on the unfolded way. 45° turn the beam straight down, 10 + 6 m.
    [Fact]
    public void After_a_mirror_the_way_is_unfolded_and_the_power_less()
    {
        var answer = Ask(Rig(Level("""
            , "mirrors": [{ "name": "sheet", "at": [0, 10, 6], "rotate": [45, 0, 0], "size": [2, 2], "surface": { "reflectance": 0.9 } }],
            "scenery": [{ "name": "floor", "shape": "plane", "at": [0, 10, 0], "size": [40, 40, 1], "albedo": 0.2 }]
            """)));
        var end = Assert.Single(answer.Ends);
        Assert.Equal(("floor", "sheet"), (end.Surface, Assert.Single(end.Mirrors)));
        Near(16, end.PathMetres);
        Near(0.9, end.Watts);
        Near(207.17, end.HazardDistance);
        Near(207.17, Assert.Single(answer.Lasers).MirrorHazardDistance);
        Assert.True(Assert.Single(answer.Mirrors).IsMet);
    }

    // A level ray at 6 m over a box whose floor is at 0 and whose top is at 2 m; at the wall the beam is 35 mm wide, half of which comes off.
    [Fact]
    public void Heights_and_distances_over_people_by_hand()
    {
        var rig = Rig(Level(Wall + """
            , "volumes": [
              { "name": "under", "kind": "audience", "at": [0, 15, 1], "size": [10, 4, 2] },
              { "name": "beside", "kind": "crew", "at": [6, 15, 6], "size": [2, 2, 2] }]
            """));
        var answer = Ask(rig);
        var (under, beside) = (answer.Volumes.Single(v => v.Volume == "under"), answer.Volumes.Single(v => v.Volume == "beside"));
        Assert.Equal(6 - 0.0175, under.LeastHeight!.Value, 1e-3);
        Assert.Equal(4 - 0.0175, under.LeastSeparation, 1e-3);
        Assert.Null(beside.LeastHeight);
        Assert.Equal(5 - 0.0175, beside.LeastSeparation, 1e-3);
        Assert.True(beside.IsCrew && !beside.IsListed && !under.IsListed && !under.Enters);
        Assert.False(answer.Any);
        Assert.True(answer.AnythingChecked);
        // Asked for 5 m over heads it is listed.
        answer = Ask(rig, null, CautionLimits.Default with { LaserHeightMetres = 5 });
        Assert.True(answer.Volumes.Single(v => v.Volume == "under").IsListed);
        Assert.True(answer.Any);
    }

    [Fact]
    public void A_ray_that_enters_is_listed_with_its_exposure_and_an_end_in_the_open_is_told()
    {
        var answer = Ask(Rig(Level(""", "volumes": [{ "name": "row", "kind": "audience", "at": [0, 21, 6], "size": [2, 2, 2] }]"""), Fan));
        var over = Assert.Single(answer.Volumes);
        Assert.True(over.Enters && over.IsListed);
        Near(15.3, over.ExposureRatio);
        Assert.All(answer.Ends, e => Assert.True(e.IsOpen));
        Assert.Contains(LaserReasons.Of(answer), r => r.Contains("ends on nothing within 200 m", StringComparison.Ordinal));
        Assert.Contains(LaserReasons.Of(answer), r => r.StartsWith("laser enters row", StringComparison.Ordinal));
    }

    [Fact]
    public void Scattered_light_that_reaches_a_volume_is_told()
    {
        var answer = Ask(Rig(Level(Wall + """, "volumes": [{ "name": "painter", "kind": "crew", "at": [0.54, 29.5, 6], "size": [1, 1, 1] }]""")));
        Assert.Equal("painter", Assert.Single(answer.Ends).VolumeInDiffuse);
        Assert.Contains(LaserReasons.Of(answer), r => r.Contains("scatters exceeds the limit in painter", StringComparison.Ordinal));
    }

    [Fact]
    public void A_wheel_chooses_the_figure()
    {
        var rig = Rig(Level(Wall), channels: """, { "attribute": "Gobo1", "wheel": "figures", "slots": ["none", "fan"] }""");
        void Send(StageModel stage, byte gobo)
        {
            var levels = new byte[512];
            (levels[0], levels[1]) = (255, gobo);
            stage.OnLevels(new UniverseNumber(1), TimeSpan.Zero, levels);
        }

        Assert.Empty(Assert.Single(Ask(rig, s => Send(s, 20)).Lasers).Scans);
        Assert.Equal(["fan"], Assert.Single(Ask(rig, s => Send(s, 200)).Lasers).Scans);
    }

    // The head tilts ±100° about x from straight down, so its ray sweeps the plane x = 0 and nothing beside it, nor what lies straight above.
    [Fact]
    public void Mirrors_within_reach_of_a_laser_that_tilts()
    {
        _folder.File("mirror.fixture.jsonc", """
            {
              "name": "Mirror",
              "geometry": [{ "name": "yoke", "axis": { "motion": "tilt" }, "parts": [{ "name": "face", "mirror": { "size": [0.5, 0.5] } }] }],
              "modes": [{ "name": "only", "channels": [{ "attribute": "Tilt", "physical": [-180, 180], "default": 128 }] }]
            }
            """);
        var rig = Rig("""
            "hangs": [
              { "name": "laser", "profile": "laser", "at": [0, 0, 4], "patch": "1.1" },
              { "name": "turning", "profile": "mirror", "at": [0, 8, 3], "patch": "1.20" },
              { "name": "aside", "profile": "mirror", "at": [7, 8, 3], "patch": "1.30" }],
            "mirrors": [
              { "name": "faces it", "at": [0, 8, 2], "size": [1, 1] },
              { "name": "looks away", "at": [0, 9, 2], "rotate": [0, 0, 180], "size": [1, 1] },
              { "name": "beside", "at": [6, 8, 2], "size": [1, 1] },
              { "name": "above", "at": [0, 0, 12], "rotate": [90, 0, 0], "size": [1, 1] }]
            """, channels: """, { "attribute": "Tilt", "geometry": "head", "physical": [-100, 100], "default": 128 }""",
            axis: """, "axis": { "motion": "tilt" }""");
        var reach = Ask(rig).Mirrors;
        Assert.Equal(["faces it", "turning/face"], reach.Select(m => m.Mirror).Order(StringComparer.Ordinal));
        Assert.All(reach, m => Assert.True(m.LaserTurns && !m.IsMet));
        Assert.Equal([false, true], reach.OrderBy(m => m.Mirror, StringComparer.Ordinal).Select(m => m.MirrorTurns));
        Near(Math.Sqrt(64 + 4), reach.Single(m => m.Mirror == "faces it").Metres);
    }

    [Fact]
    public void Nothing_is_said_to_be_checked_when_no_laser_shines()
    {
        var answer = Ask(Rig(Level(Wall)), s => s.OnLevels(new UniverseNumber(1), TimeSpan.Zero, new byte[512]));
        Assert.False(answer.AnythingChecked || answer.Any);
        Assert.Contains("nothing could be checked", Assert.Single(LaserReasons.Of(answer)), StringComparison.Ordinal);
        Assert.Equal(0, Assert.Single(answer.Lasers).SeenWatts);
    }

    [Fact]
    public void Times_join_moments_and_keep_where_the_axes_were()
    {
        var rig = Rig(Level(Wall), channels: """, { "attribute": "Tilt", "geometry": "head", "physical": [-100, 100], "default": 128 }""",
            axis: """, "axis": { "motion": "tilt" }""");
        var question = new LasersQuestion(rig);
        var stage = new StageModel(rig);
        void Send(double at, byte dimmer, byte tilt)
        {
            var levels = new byte[512];
            (levels[0], levels[1]) = (dimmer, tilt);
            stage.OnLevels(new UniverseNumber(1), TimeSpan.FromSeconds(at), levels);
        }

        Send(0, 0, 128);
        Send(1, 255, 128);
        Send(2, 255, 140);
        Send(3, 0, 140);
        Send(5, 128, 140);
        for (var t = 0.0; t <= 6; t += 0.5)
        {
            question.Look(stage, TimeSpan.FromSeconds(t));
        }

        var times = question.Answer().Times;
        Assert.Equal([(1.0, 2.5), (5.0, 6.0)], times.Select(t => (t.From, t.To)));
        Assert.Equal(200 * 128 / 255.0 - 100, times[0].Tilt!.Value.From, 0.1);
        Assert.Equal(200 * 140 / 255.0 - 100, times[0].Tilt!.Value.To, 0.1);
        Near(128 / 255.0, times[1].Watts);
        Assert.Null(times[0].Pan);
    }

    [Fact]
    public void The_dossier_has_a_cover_two_drawings_and_every_table_and_never_says_safe()
    {
        var rig = Rig(Level(Wall + """, "volumes": [{ "name": "under", "kind": "audience", "at": [0, 15, 1], "size": [10, 4, 2] }]"""), Fan);
        var pages = LaserDossier.Pages(rig, Ask(rig), new DossierFacts("", "first draft", "look a.jsonc"));
        var texts = pages.SelectMany(p => p.Shapes).Select(s => s.Text).Where(t => t.Length > 0).ToList();
        foreach (var said in (string[])["Laser dossier: Lasers", "look a.jsonc", "Signature", "Where rays end", "Over and beside people", "When each is on",
            "Limits used", "What was not checked", "laserHeight", "E1"])
        {
            Assert.Contains(texts, t => t.Contains(said, StringComparison.Ordinal));
        }

        Assert.Equal(["plan", "side"], pages.Where(p => p.Name is "plan" or "side").Select(p => p.Name));
        Assert.All(texts.Where(t => t.Contains("safe", StringComparison.OrdinalIgnoreCase)),
            t => Assert.True(t.Contains("laser safety officer", StringComparison.OrdinalIgnoreCase) || t.Contains("safeguards", StringComparison.Ordinal)
                || t.Contains("nothing here says", StringComparison.Ordinal) || t.Contains("Not a statement", StringComparison.Ordinal), t));
        // Nothing leaves the pages.
        Assert.All(pages, p => Assert.All(p.Shapes.SelectMany(s => s.Points),
            v => Assert.True(v.X >= 8 && v.Y >= 8 && v.X <= p.Width - 8 && v.Y <= p.Height - 8, $"{p.Name}: {v}")));
        Assert.StartsWith("%PDF", System.Text.Encoding.ASCII.GetString(LaserDossier.Write(rig, Ask(rig), new DossierFacts("", "", "none")), 0, 4),
            StringComparison.Ordinal);
    }
}
