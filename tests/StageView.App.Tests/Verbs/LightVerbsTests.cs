using System.Text.Json;
using System.Xml.Linq;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Tests.Verbs;

/// <summary>lux, bounces, aim, cautions and audit as a user runs them, on the demo rig.</summary>
public sealed class LightVerbsTests
{
    private static string Foundry => Repo.File("scenes", "foundry", "foundry.rig.jsonc");

    private static string OneMirror => Repo.File("scenes", "one-mirror", "one-mirror.rig.jsonc");

    private static JsonElement Ask(int exit, params string[] args)
    {
        var run = CommandRun.Of([.. args, "--json"]);
        Assert.True(run.ExitCode == exit, run.Output + run.Errors);
        return JsonDocument.Parse(run.Output).RootElement;
    }

    // one-mirror: a level beam at 2 m meets a 45° mirror 4 m on and goes straight down: landing (0, 4, 0), throw 4 + 2 m less the
    // lens's place, by the law of reflection.
    [Fact]
    public void A_bounce_is_told_as_the_law_of_reflection_has_it()
    {
        using var folder = new TempFolder();
        var svg = folder.File("paths.svg");
        var answer = Ask(0, "bounces", OneMirror, "--full", "1", "--svg", svg);
        var bounce = answer.GetProperty("beams").EnumerateArray().Single(b => b.GetProperty("mirrors").GetArrayLength() == 1);
        var point = bounce.GetProperty("point").EnumerateArray().Select(v => v.GetDouble()).ToArray();
        Assert.Equal(0, point[0], 1e-3);
        Assert.Equal(4, point[1], 1e-3);
        Assert.Equal(0, point[2], 1e-3);
        Assert.Equal("floor", bounce.GetProperty("landsOn").GetString());
        Assert.True(XDocument.Load(svg).Descendants().Count(e => e.Name.LocalName == "polyline") >= 4);
    }

    // The demo's front light: E = I cos/r², by hand from what bounces says of the landing, in clear air within 0.1 %.
    [Fact]
    public void Front_light_on_the_floor_is_inverse_square_and_cosine()
    {
        var beam = Ask(0, "bounces", Foundry, "--full", "5", "--fixture", "5").GetProperty("beams")[0];
        var point = beam.GetProperty("point").EnumerateArray().Select(v => v.GetDouble()).ToArray();
        var lux = Ask(0, "lux", Foundry, "--full", "5", "--clear-air", "--indirect", "off", "--on",
            string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{point[0]:0.####},{point[1]:0.####},{point[2]:0.####}"));
        var horizontal = lux.GetProperty("points")[0].GetProperty("lux").GetProperty("horizontal").GetDouble();
        using var source = new FullShow(RigFiles.Open(Foundry), null, ["5"]);
        var b = source.Stage.MomentAt(TimeSpan.Zero).Beams.Span[0];
        double[] d = [point[0] - b.Apex.X, point[1] - b.Apex.Y, point[2] - b.Apex.Z];
        var r = Math.Sqrt((d[0] * d[0]) + (d[1] * d[1]) + (d[2] * d[2]));
        var byHand = b.PeakCandela / (r * r) * (-d[2] / r);
        Assert.InRange(horizontal / byHand, 0.999, 1.001);
    }

    [Fact]
    public void Lux_says_what_is_direct_and_what_floors_and_walls_throw()
    {
        JsonElement Floor(string indirect) => Ask(0, "lux", Foundry, "--full", "fronts", "--on", "actor-line", "--indirect", indirect).GetProperty("areas")[0];
        var (with, without) = (Floor("on"), Floor("off"));
        double Of(string name) => with.GetProperty(name).GetDouble();

        Assert.InRange(Of("averageIndirect"), .001 * Of("average"), .1 * Of("average"));
        Assert.Equal(Of("average"), Of("averageDirect") + Of("averageIndirect"), .01);
        Assert.Equal(without.GetProperty("average").GetDouble(), Of("averageDirect"), .01);
        Assert.Equal(JsonValueKind.Null, without.GetProperty("averageIndirect").ValueKind);
        // The performer's back, .2 m upstage of it: no source shines there, the set behind does.
        var back = Ask(0, "lux", Foundry, "--full", "fronts", "--on", "0,2.9,1.4").GetProperty("points")[0].GetProperty("lux");
        Assert.True(back.GetProperty("towardUpstageIndirect").GetDouble() > 1);
        var check = CommandRun.Of("lux", Foundry, "--full", "1", "--on", "actor-line", "--least", "2000");
        Assert.Contains("of it indirect", check.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Lux_writes_maps_and_finds_the_dark_positions()
    {
        using var folder = new TempFolder();
        var answer = Ask(1, "lux", Foundry, "--full", "1-3", "--on", "actor-line", "--least", "300", "--reach", "fronts", "--out", folder.Path);
        Assert.Equal(3, answer.GetProperty("files").GetArrayLength());
        Assert.All(answer.GetProperty("files").EnumerateArray(), f => Assert.True(new FileInfo(f.GetString()!).Length > 100));
        Assert.True(PngFile.Of(folder.File("actor-line.png")).Mean > 2);
        var findings = answer.GetProperty("findings").EnumerateArray().ToArray();
        Assert.InRange(findings.Length, 5, 16);
        // Every dark position of the demo's line can be reached by some front; fixture 10 is the one farthest right.
        Assert.All(findings, f => Assert.NotEqual(0, f.GetProperty("reach").GetArrayLength()));
        Assert.Equal("front 10", findings[^1].GetProperty("reach")[0].GetProperty("fixture").GetString());
    }

    // A tour rig in a house that brings a light of its own: dark positions are found in that house, and its light is named among those that reach them.
    [Fact]
    public void A_house_s_own_fixture_is_named_for_the_positions_that_front_light_misses()
    {
        using var folder = new TempFolder();
        var show = Path.Combine(folder.Path, "show");
        Assert.Equal(0, CommandRun.Of("new", show).ExitCode);
        var rig = Path.Combine(show, "show.rig.jsonc");
        var venue = folder.File("house.venue.jsonc", """
            { "name": "A house", "move": [{ "what": "front truss", "trim": 5.2 }],
              "hangs": [{ "name": "balcony light", "profile": "front-profile", "number": 901, "at": [0, -8, 6], "aim": [0, 2, 1], "patch": "9.1" }] }
            """);
        var house = CommandRun.Of("lux", rig, "--venue", venue, "--full", "spots", "--on", "stage-floor", "--least", "300", "--reach", "balcony light",
            "--json");
        if (house.ExitCode == 2)
        {
            Assert.Fail(house.Errors);
        }

        Assert.Equal(1, house.ExitCode);
        using var json = JsonDocument.Parse(house.Output);
        var findings = json.RootElement.GetProperty("findings").EnumerateArray().ToList();
        Assert.NotEmpty(findings);
        Assert.Contains(findings, f =>
            f.GetProperty("reach").EnumerateArray().Any(r => r.GetProperty("fixture").GetString() == "balcony light" && r.GetProperty("lux").GetDouble() > 1));

        // Straight below a spot the house's lower truss is brighter by the square of the throw: spot 2 hangs at x = -1.33, 0.2 m under the truss.
        double Below(params string[] more) => Ask(0, [.. (string[])["lux", rig, "--full", "102", "--clear-air", "--on", "-1.3333,1,0.01"], .. more])
            .GetProperty("points")[0].GetProperty("lux").GetProperty("horizontal").GetDouble();
        Assert.InRange(Below("--venue", venue) / Below(), 1.2, 1.45);
    }

    /// <summary>Whatever says where a beam goes says the same of eyes, as text and as JSON.</summary>
    [Theory]
    [InlineData("bounces", "--full", "1")]
    [InlineData("explain", "1")]
    [InlineData("aim", "--fixture", "1", "--at", "0,4,1")]
    public void Where_a_beam_goes_is_told_with_a_caution(string verb, params string[] more)
    {
        string[] asked = [verb, OneMirror, .. more];
        var text = CommandRun.Of(asked);
        var caution = Ask(text.ExitCode, asked).GetProperty("caution").GetString()!;
        Assert.Equal(EyeCaution.Text, caution);
        Assert.Contains(caution, text.Output, StringComparison.Ordinal);
        Assert.Contains("no light into eyes", caution, StringComparison.Ordinal);
    }

    [Fact]
    public void Aim_by_panels_writes_a_look_that_lands_there()
    {
        using var folder = new TempFolder();
        var look = folder.File("aim.jsonc");
        var answer = Ask(0, "aim", Foundry, "--fixture", "113", "--at=-3,-8,1.5", "--via", "panel wall", "--out", look);
        Assert.InRange(answer.GetProperty("fixtures")[0].GetProperty("solutions")[0].GetProperty("missMetres").GetDouble(), 0, 0.005);
        var beams = Ask(0, "bounces", Foundry, "--look", look, "--full", "113", "--fixture", "113", "--reflected").GetProperty("beams");
        Assert.Contains(beams.EnumerateArray(), b => Near(b.GetProperty("path"), -3, -8, 1.5));
    }

    [Fact]
    public void Aim_by_a_turning_mirror_turns_it()
    {
        var answer = Ask(0, "aim", Foundry, "--fixture", "122", "--at=-6,3,0", "--via", "panel 2").GetProperty("fixtures")[0];
        var turned = answer.GetProperty("turned")[0];
        Assert.Equal("panel 2", turned.GetProperty("fixture").GetString());
        Assert.Equal(2, turned.GetProperty("channels").GetArrayLength());
        Assert.InRange(answer.GetProperty("solutions")[0].GetProperty("missMetres").GetDouble(), 0, 0.005);
    }

    [Fact]
    public void The_mirror_moment_throws_a_beam_on_a_crew_desk_and_the_answer_defers()
    {
        var run = CommandRun.Of("cautions", Foundry, "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"), "--at", "cue:mirror moment");
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("1 mirror", run.Output, StringComparison.Ordinal);
        Assert.Contains("monitor desk", run.Output, StringComparison.Ordinal);
        Assert.Contains("laser safety officer", run.Output, StringComparison.Ordinal);
    }

    // The rig has no volumes: nothing could be checked, which is no answer.
    [Fact]
    public void Where_nothing_could_be_checked_that_is_said_and_the_code_is_no_fine()
    {
        var run = CommandRun.Of("cautions", OneMirror);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("names no audience or crew volumes", run.Output, StringComparison.Ordinal);
        Assert.Contains("could not be checked", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("nothing found", run.Output, StringComparison.Ordinal);
        var answer = Ask(2, "cautions", OneMirror);
        Assert.False(answer.GetProperty("anythingChecked").GetBoolean());
        Assert.Contains("names no volumes", answer.GetProperty("notLooked").ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_found_is_said_with_what_was_looked_at_and_never_more()
    {
        var run = CommandRun.Of("cautions", Foundry, "--limit", "least=750");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("nothing found by this check in 1 moment and 3 volumes", run.Output, StringComparison.Ordinal);
        Assert.Contains("least 750 lx", run.Output, StringComparison.Ordinal);
        Assert.Contains("not looked at:", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("is safe.", run.Output.Replace("nothing here says that anything is safe.", "", StringComparison.Ordinal),
            StringComparison.Ordinal);
        var limits = Ask(0, "cautions", Foundry, "--limit", "least=750").GetProperty("looked")[0].GetProperty("limits")[0];
        Assert.Equal(("least", 750, "common practice, no source"),
            (limits.GetProperty("key").GetString(), limits.GetProperty("value").GetDouble(), limits.GetProperty("source").GetString()));
    }

    // Winched globes over the standing audience, by the levels alone.
    [Fact]
    public void The_demo_s_globes_over_people_are_listed()
    {
        var answer = Ask(1, "cautions", Foundry, "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"));
        var over = answer.GetProperty("moving").EnumerateArray().Where(m => m.GetProperty("isOver").GetBoolean()).ToList();
        Assert.Equal(8, over.Count);
        Assert.All(over, m => Assert.InRange(m.GetProperty("metresPerSecond").GetDouble(), 0.7, 0.8));
        Assert.InRange(answer.GetProperty("closest").GetProperty("metres").GetDouble(), 0.5, 1);
        var rows = answer.GetProperty("rows").EnumerateArray().Where(r => r.GetProperty("kind").GetString() == "moving");
        Assert.All(rows, r => Assert.Contains("no interlock", r.GetProperty("usual").GetString(), StringComparison.Ordinal));
    }

    [Fact]
    public void The_demo_show_s_energy_closes()
    {
        var total = Ask(0, "audit", Foundry, "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"), "--at", "cue:mirror moment").GetProperty("total");
        Assert.InRange(total.GetProperty("error").GetDouble(), -0.005, 0.005);
        Assert.True(total.GetProperty("landedReflected").GetDouble() > 10_000);
    }

    [Fact]
    public void Audit_follows_what_landed_from_matt_surface_to_matt_surface()
    {
        string[] moment = ["audit", Foundry, "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"), "--at", "cue:mirror moment"];
        var matt = Ask(0, moment).GetProperty("indirect");
        Assert.InRange(matt.GetProperty("error").GetDouble(), -0.005, 0.005);
        Assert.InRange(matt.GetProperty("thrownBack").GetDouble(), 1000, matt.GetProperty("landed").GetDouble());
        Assert.Equal(JsonValueKind.Null, Ask(0, [.. moment, "--indirect", "off"]).GetProperty("indirect").ValueKind);
    }

    // A fixture of each kind in the demo's rig, put to full by itself: heads, profiles, cells that mix their colour, globes, lasers, a turning panel's and a
    // wall's pixels, strips. Stated lumens on one side, what lands or is lost on the other.
    [Theory]
    [InlineData("119")]
    [InlineData("5")]
    [InlineData("201")]
    [InlineData("401")]
    [InlineData("501")]
    [InlineData("601")]
    [InlineData("301")]
    [InlineData("701")]
    public void Each_kind_of_fixture_gives_light_at_full_and_its_energy_closes(string number)
    {
        var balances = Ask(0, "audit", Foundry, "--full", number).GetProperty("fixtures").EnumerateArray().Select(f => f.GetProperty("balance")).ToList();
        var lit = Assert.Single(balances, b => b.GetProperty("out").GetDouble() > 0);
        Assert.InRange(lit.GetProperty("out").GetDouble(), 100, 50_000);
        Assert.InRange(lit.GetProperty("error").GetDouble(), -0.005, 0.005);
    }

    [Theory]
    [InlineData("lux", "--on", "nowhere", "no area or focus point of that name")]
    [InlineData("lux", "--measure", "sideways", "write plane")]
    [InlineData("lux", "--indirect", "some", "write on or off")]
    [InlineData("lux", "--full", "ghosts", "no fixture, number or group")]
    [InlineData("bounces", "--bounces", "9", "0 to 4")]
    [InlineData("bounces", "--look", "missing.jsonc", "no look file")]
    [InlineData("aim", "--at", "here", "is no point")]
    [InlineData("cautions", "--limit", "exposure=0", "exposure takes 0.000005 to 10 s")]
    [InlineData("cautions", "--limit", "leest=9", "did you mean least?")]
    [InlineData("cautions", "--limit", "least", "write KEY=VALUE")]
    public void Wrong_questions_get_one_plain_line(string verb, string option, string value, string says)
    {
        string[] extra = verb == "aim" ? ["--fixture", "101"] : [];
        var run = CommandRun.Of([verb, Foundry, option, value, .. extra]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    private static bool Near(JsonElement path, double x, double y, double z)
    {
        // The target hangs in the air: the last leg must pass it.
        var points = path.EnumerateArray().Select(p => p.EnumerateArray().Select(v => v.GetDouble()).ToArray()).ToArray();
        var (a, b) = (points[^2], points[^1]);
        double[] d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
        double[] t = [x - a[0], y - a[1], z - a[2]];
        var k = ((t[0] * d[0]) + (t[1] * d[1]) + (t[2] * d[2])) / ((d[0] * d[0]) + (d[1] * d[1]) + (d[2] * d[2]));
        return Math.Sqrt(Enumerable.Range(0, 3).Sum(i => Math.Pow(t[i] - (k * d[i]), 2))) < 0.005;
    }
}
