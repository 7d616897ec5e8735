using StageView.Show.LineCheck;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Looks;
using StageView.Wire.Capture;

namespace StageView.Show.Tests.LineCheck;

public sealed class LineCheckTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static Rig.Pieces.RigScene Foundry => RigFiles.Open(Repo.Foundry);

    [Fact]
    public void Each_fixture_of_the_capture_is_lit_alone_in_its_time()
    {
        var rig = Foundry;
        Assert.True(FixtureSelection.TryFind(rig, "heads", out var heads, out _));
        var plan = new LinePlan(rig, ["heads"], .5, "patch");
        Assert.Equal(heads.Count, plan.Steps.Count);
        var path = _folder["line.pcapng"];
        LineCapture.Write(plan, TimeSpan.FromSeconds(2), File.Create(path), DateTimeOffset.UnixEpoch);
        using var show = new CaptureShow(rig, path);
        for (var i = 0; i <= plan.Steps.Count; i++)
        {
            var at = TimeSpan.FromSeconds((2 * i) + 1.9);
            show.FeedTo(at);
            var lit = show.Stage.MomentAt(at, bounces: 0).Beams.ToArray().Select(b => rig.Fixtures[b.Fixture.Value].Name).Distinct();
            Assert.Equal(i < plan.Steps.Count ? [plan.Steps[i].Name] : [], lit);
        }

        // Never longer silent than a receiver waits, and ended dark.
        var gaps = CaptureReader.Read(path).Select(d => (d.To.IPv4Value, d.At)).GroupBy(d => d.IPv4Value)
            .SelectMany(g => g.Zip(g.Skip(1), (a, b) => (b.At - a.At).TotalSeconds)).ToList();
        Assert.InRange(gaps.Max(), .7, .9);
    }

    /// <summary>A laser that shines by its profile's defaults, on the universe that is sent or on another.</summary>
    [Fact]
    public void No_laser_is_lit_by_defaults()
    {
        _folder.File("beam.fixture.jsonc", """
            { "name": "Beam", "geometry": [{ "name": "line", "laser": { "power": 2, "divergence": 1, "wavelengths": [532] } }],
              "modes": [{ "name": "one", "channels": [{ "attribute": "Dimmer", "geometry": "line" }] },
                        { "name": "open", "channels": [{ "attribute": "Dimmer", "geometry": "line", "default": 255 }] }] }
            """);
        _folder.File("spot.fixture.jsonc", """
            { "name": "Spot", "geometry": [{ "name": "lens", "beam": { "kind": "spot", "flux": 1000, "beamAngle": 10, "fieldAngle": 12, "lensRadius": 0.05 } }],
              "modes": [{ "name": "one", "channels": [{ "attribute": "Dimmer", "geometry": "lens" }] }] }
            """);
        LinePlan Plan(string laser, string patch) => new(RigFiles.Open(_folder.File("t.rig.jsonc", $$"""
            { "name": "t", "profiles": ["."], "hangs": [
              { "name": "clear", "profile": "spot", "at": [0, 0, 5], "patch": "1.1" },
              { "name": "ray", "profile": "beam", "mode": "{{laser}}", "at": [2, 0, 5], "patch": "{{patch}}" }] }
            """)), [], 1, "position");
        Assert.Equal(["clear"], Plan("one", "1.9").Steps.Select(s => s.Name));
        Assert.Equal(["clear"], Plan("open", "2.1").Steps.Select(s => s.Name));
        Assert.Contains("ray gives light at the defaults", Assert.Throws<StopException>(() => Plan("open", "1.9")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Lasers_and_what_has_no_address_are_left_out_and_told()
    {
        var plan = new LinePlan(Foundry, [], 1, "position");
        Assert.Equal(5, plan.NotLit.Count(n => n.Contains("a laser is not lit", StringComparison.Ordinal)));
        Assert.DoesNotContain(plan.Steps, s => s.Name.StartsWith("laser", StringComparison.Ordinal));
        Assert.Equal(plan.Steps.Count, plan.Steps.DistinctBy(s => s.Patch).Count());
        var all = Assert.Throws<StopException>(() => new LinePlan(Foundry, ["lasers"], 1, "position"));
        Assert.Contains("no fixture is left to light: laser 1: a laser is not lit", all.Message, StringComparison.Ordinal);
        Assert.Contains("--order", Assert.Throws<StopException>(() => new LinePlan(Foundry, [], 1, "size")).Message, StringComparison.Ordinal);
        Assert.Contains("--only", Assert.Throws<StopException>(() => new LinePlan(Foundry, ["nobody"], 1, "patch")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_said_of_the_lit_one_lights_the_next()
    {
        var sheet = new LineSheet(new LinePlan(Foundry, ["heads"], 1, "patch"));
        var all = sheet.Marks.Count;
        Assert.True(sheet.Mark(0, LineMark.Answered));
        Assert.True(sheet.Mark(1, LineMark.NoAnswer));
        Assert.Equal(2, sheet.At);
        // Of another than the lit one, and to say nothing again, lights no other.
        Assert.True(sheet.Mark(0, LineMark.NoAnswer));
        Assert.True(sheet.Mark(2, LineMark.Open));
        Assert.Equal(2, sheet.At);
        Assert.True(sheet.Go(all));
        Assert.False(sheet.Go(all + 1));
        Assert.False(sheet.Mark(all, LineMark.Answered));
        var answer = sheet.Answer();
        Assert.Equal((all, 0, 2, all - 2), (answer.Asked, answer.Answered, answer.NoAnswer.Count, answer.Open.Count));
    }

    [Fact]
    public void Names_stay_names_on_the_page()
    {
        var page = LinePage.Write("</script><b>x", new LinePlan(Foundry, ["heads"], 1, "patch"), 4);
        Assert.DoesNotContain("</script><b>x", page, StringComparison.Ordinal);
        Assert.Contains("down head 1", page, StringComparison.Ordinal);
    }
}
