using System.Globalization;
using System.Numerics;
using StageView.Show.HouseLight;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.HouseLight;

/// <summary>
/// Front light of small houses, worked out by hand. All lanterns have the same 10,000 cd up to 10 degrees off their axis and none from 12 on, so that
/// E = I·cos(incidence)/d² (inverse square and cosine laws, IES Lighting Handbook) is all there is; a tenth is left at 11.8 degrees.
/// </summary>
public sealed class HouseLightTests : IDisposable
{
    private const double Candela = 10_000;

    private const string Seats = "\"volumes\": [{ \"name\": \"stage seats\", \"kind\": \"audience\", \"at\": [0, 2, 0.5], \"size\": [4, 2, 1] }],";

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // From 5 m before the face and 5 m over it: d² = 50, 45 degrees: 141.4 lx at full.
    [Fact]
    public void One_lantern_gives_what_its_intensity_and_distance_give()
    {
        var answer = Answer(Lanterns((0, -5, 6.5)), 100, ["0,0,1.5"]);
        var (used, face) = (Assert.Single(answer.Used), Assert.Single(answer.Positions));
        Assert.True(answer.IsHeld);
        Assert.Empty(answer.ToHang);
        Assert.InRange(used.Level, .71f, .74f);
        Assert.Equal(used.Level * Candela * Math.Cos(Math.PI / 4) / 50, face.Lux, .006 * face.Lux);
        Assert.Equal(Math.Sqrt(50), used.Throw, 1e-3);
        Assert.Equal((0, 45), (used.Turn, used.Down), (a, b) => Math.Abs(a.Item1 - b.Item1) < .01 && Math.Abs(a.Item2 - b.Item2) < .01);
        Assert.Equal((45, 0), (face.KeyAt.Elevation, face.KeyAt.Azimuth), (a, b) => Math.Abs(a.Item1 - b.Item1) < .01 && Math.Abs(a.Item2 - b.Item2) < .01);

        // A cylinder gets cos ε/π of a beam, a plane that lies flat sin ε.
        Assert.Equal(1 / Math.PI, face.Modelling, 1e-3);
    }

    // What is missing is 58.6 lx, half from each side at 45 degrees up and 45 beside: cos = .5, d² = 50.
    [Fact]
    public void What_is_missing_is_asked_for_from_two_sides()
    {
        var answer = Answer(Lanterns((0, -5, 6.5)), 200, ["0,0,1.5"]);
        var face = Assert.Single(answer.Positions);
        var full = Candela * Math.Cos(Math.PI / 4) / 50;
        Assert.Equal(1, Assert.Single(answer.Used).Level);
        Assert.Equal(200 - full, face.ShortBy, .1);
        Assert.Contains("1 lantern can light it, each alone at full with 141", face.Why, StringComparison.Ordinal);
        Assert.Equal([-45, 45], answer.ToHang.Select(h => MathF.Round(h.Seen.Azimuth)));
        Assert.All(answer.ToHang, h =>
        {
            Assert.Equal(45, h.Seen.Elevation, .01);
            Assert.Equal((200 - full) / 2 * 50 / .5, h.Candela, 5.0);
            Assert.Equal(5, h.At.Z - 1.5f, 1e-3f);
            Assert.Equal("", h.Trouble);
        });
    }

    // From each side 50 lx at full (d² = 100, cos = .5), from the middle 70.7: 80 lx are held by the two sides alone.
    [Fact]
    public void Light_from_two_sides_goes_before_light_from_the_middle()
    {
        var up = 1.5 + Math.Sqrt(50);
        var answer = Answer(Lanterns((0, -Math.Sqrt(50), up), (-5, -5, up), (5, -5, up)), 80, ["0,0,1.5"]);
        var face = Assert.Single(answer.Positions);
        Assert.Equal(["lantern 2", "lantern 3"], answer.Used.Select(u => u.Fixture));
        Assert.Equal(answer.Used[0].Level, answer.Used[1].Level);
        Assert.Equal(2 * 50 * answer.Used[0].Level, face.Lux, .006 * face.Lux);
        Assert.Equal(face.FromLeft, face.FromRight, .01f);
        Assert.Equal(("lantern 1", "not needed"), answer.Unused.Select(u => (u.Fixture, u.Why)).Single());
    }

    // At 20, 45 and 70 degrees, each so far away that it gives the face 141.4 lx: d² = I·cos ε/E.
    [Fact]
    public void Near_45_degrees_up_goes_before_flatter_and_steeper()
    {
        var lanterns = new[] { 20, 70, 45 }.Select(e => e * Math.PI / 180).Select(e => (Up: e, Way: Math.Sqrt(Math.Cos(e) * 50 / Math.Cos(Math.PI / 4))))
            .Select(l => (0.0, -l.Way * Math.Cos(l.Up), 1.5 + (l.Way * Math.Sin(l.Up)))).ToArray();
        var answer = Answer(Lanterns(lanterns), 100, ["0,0,1.5"], asked => asked with { Modelling = "0.05-2" });
        Assert.Equal("lantern 3", Assert.Single(answer.Used).Fixture);
        Assert.Equal(45, answer.Positions[0].KeyAt.Elevation, .01);
    }

    // 70 degrees up a cylinder gets cot(70°)/π = .116 of what a flat plane gets; a flatter one must be hung.
    [Fact]
    public void Light_from_too_far_above_is_no_answer_and_a_flatter_place_is_asked_for()
    {
        var answer = Answer(Lanterns((0, -1, 1.5 + Math.Tan(70 * Math.PI / 180))), 100, ["0,0,1.5"]);
        var face = Assert.Single(answer.Positions);
        Assert.False(answer.IsHeld);
        Assert.Equal(0, face.ShortBy);
        Assert.Equal(1 / Math.Tan(70 * Math.PI / 180) / Math.PI, face.Modelling, 2e-3);
        Assert.Contains("too far above", face.Why, StringComparison.Ordinal);

        // With what is asked for, h and y are as wanted: N = I/d² on a plane that faces each.
        var (flat, cylinder) = (0.0, 0.0);
        foreach (var h in answer.ToHang)
        {
            Assert.InRange(h.Seen.Elevation, 34, 41);
            var (normal, up) = (h.Candela / (h.Seen.Throw * h.Seen.Throw), h.Seen.Elevation * Math.PI / 180);
            (flat, cylinder) = (flat + (normal * Math.Sin(up)), cylinder + (normal * Math.Cos(up) / Math.PI));
        }

        var before = face.Lux * Math.Tan(70 * Math.PI / 180);
        Assert.Equal(.3, (cylinder + (face.Lux / Math.PI)) / (flat + before), 3e-3);
    }

    [Fact]
    public void A_mirrored_house_has_a_mirrored_answer()
    {
        (double X, double Y, double Z)[] lanterns = [(-5, -4, 6), (-2, -6, 6.5), (1, -4, 6), (3.5, -5, 7), (6, -3, 5)];
        (double X, double Y)[] faces = [(-3, 0), (0, .5), (2.2, 1)];
        var a = Answer(Lanterns(lanterns), 150, [.. faces.Select(f => Text(f.X, f.Y, 1.5))]);
        var b = Answer(Lanterns([.. lanterns.Select(l => (-l.X, l.Y, l.Z))]), 150, [.. faces.Select(f => Text(-f.X, f.Y, 1.5))]);
        Assert.True(a.Used.Count >= 2);
        Assert.Equal(a.Used.Select(u => (u.Fixture, u.Level)), b.Used.Select(u => (u.Fixture, u.Level)));
        Assert.All(a.Used.Zip(b.Used), u => Assert.Equal((u.First.Turn, u.First.Down), (-u.Second.Turn, u.Second.Down), Near));
        Assert.All(a.Positions.Zip(b.Positions), p =>
        {
            Assert.Equal((p.First.Point.X, p.First.Lux), (-p.Second.Point.X, p.Second.Lux), Near);
            Assert.Equal((p.First.FromLeft, p.First.FromRight), (p.Second.FromRight, p.Second.FromLeft), Near);
        });

        static bool Near((float, float) x, (float, float) y) => Math.Abs(x.Item1 - y.Item1) < .02 && Math.Abs(x.Item2 - y.Item2) < .02;
    }

    // The way from (0, -5, 6.5) to the face passes (0, -2.5, 4); those from 45 degrees beside pass the header's ends.
    [Fact]
    public void What_stands_in_the_way_is_named()
    {
        var answer = Answer(Lanterns((0, -5, 6.5)), 100, ["0,0,1.5"],
            more: "\"scenery\": [{ \"name\": \"black header\", \"shape\": \"box\", \"at\": [0, -2.5, 4], \"size\": [3, 0.1, 1.5] }],");
        Assert.Empty(answer.Used);
        Assert.Equal("behind black header", Assert.Single(answer.Unused).Why);
        Assert.Equal("behind black header: 1 lantern", Assert.Single(answer.Positions).Why);
        Assert.Equal(100, answer.Positions[0].ShortBy);
        Assert.Equal(["", ""], answer.ToHang.Select(h => h.Trouble));
    }

    // The axis meets the floor 1.5 m upstage of the face; the upper edge of the beam passes the wall at 2.6 m, which is 3 m high.
    [Theory]
    [InlineData(Seats, "its beam would enter stage seats")]
    [InlineData("\"cameras\": [{ \"name\": \"upstage\", \"at\": [0, 1.2, 0.4], \"lookAt\": [0, -5, 1] }],", "its beam would enter the lens of camera upstage")]
    [InlineData("\"volumes\": [{ \"name\": \"stage seats\", \"kind\": \"audience\", \"at\": [9, 2, 0.5], \"size\": [4, 2, 1] }],", "")]
    [InlineData(Seats + "\"scenery\": [{ \"name\": \"wall\", \"shape\": \"box\", \"at\": [0, 0.9, 1.5], \"size\": [8, 0.1, 3] }],", "")]
    public void No_cone_enters_an_audience_or_a_lens(string more, string why)
    {
        var answer = Answer(Lanterns((0, -5, 6.5)), 100, ["0,0,1.5"], more: more);
        Assert.Equal(why.Length == 0, answer.IsHeld);
        Assert.Equal(why.Length == 0 ? [] : [why], answer.Unused.Select(u => u.Why));
        Assert.Equal(why.Length == 0 ? "" : why + ": 1 lantern", Assert.Single(answer.Positions).Why);
    }

    // From (0, -10, 6) down to the face 24.2 degrees, the lower edge 11.8 more: 1.1 m high it is at y = -3.3, among those who stand there up to -3.
    // Aimed .4 m over the face, 22.3 degrees down, it is at y = -2.8.
    [Fact]
    public void A_beam_is_lifted_over_the_front_rows()
    {
        var answer = Answer(Lanterns((0, -10, 6)), 30, ["0,0,1.5"], asked => asked with { Modelling = "0.1-2" },
            "\"volumes\": [{ \"name\": \"front rows\", \"kind\": \"audience\", \"at\": [0, -4.5, 0.55], \"size\": [12, 3, 1.1] }],");
        var used = Assert.Single(answer.Used);
        Assert.Equal("0,0,1.5, 0.4 m over it", used.AimedAt);
        Assert.Equal(Math.Atan2(6 - 1.9, 10) * 180 / Math.PI, used.Down, .01);
        Assert.True(answer.IsHeld);
    }

    [Theory]
    [InlineData("{ \"name\": \"Bare\" }", 100, "there are no lanterns to choose from: name a venue file that hangs some")]
    [InlineData(null, 0, "--least takes 1 to 100000 lx")]
    [InlineData(null, 100, "--on nowhere: ")]
    [InlineData(null, 101, "--also lampe: ")]
    public void What_cannot_be_asked_is_told_in_one_line(string? venue, int least, string says)
    {
        var wrong = Assert.Throws<StopException>(() => Answer(venue ?? Lanterns((0, -5, 6.5)), least, least == 100 && venue is null ? ["nowhere"] : [],
            asked => least == 101 ? asked with { Also = ["lampe"] } : asked));
        Assert.StartsWith(says, wrong.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', wrong.Message);
    }

    [Fact]
    public void The_meter_reads_on_the_written_look_what_the_answer_says()
    {
        var (rig, venue, aimed) = (Rig(""), _folder.File("v.venue.jsonc", Lanterns((-5, -4, 6), (2, -6, 6.5), (6, -3, 5))), _folder["aimed.venue.jsonc"]);
        var answer = HouseLightRun.Answer(RigFiles.Open(rig, venue), new HouseLightAsked { Least = 120, On = ["-2,0,1.5", "1.5,0.5,1.5"] });
        HouseLightFiles.WriteVenue(answer, rig, venue, aimed);
        var scene = RigFiles.Open(rig, aimed);
        Assert.Empty(scene.Fixtures.Select(f => f.Name).Except(["lantern 1", "lantern 2", "lantern 3"]));
        using var look = new LookShow(scene, _folder.File("front.look.jsonc", answer.Look));
        Assert.Null(look.Problem);
        var measured = LuxQuestion.Answer(scene, look.Stage.MomentAt(TimeSpan.Zero),
            new LuxAsked([.. answer.Positions.Select(p => Text(p.Point.X, p.Point.Y, p.Point.Z))], "vertical:0,-1", false, null, null, null)
            {
                Indirect = false,
            });
        Assert.True(answer.IsHeld);
        Assert.All(answer.Positions.Zip(measured.Points), p =>
        {
            Assert.Equal(p.First.Lux, p.Second.Lux.TowardAudience, .002 * p.First.Lux);
            Assert.Equal(p.First.Modelling, p.Second.Lux.Cylindrical / p.Second.Lux.Horizontal, 2e-3);
            Assert.Equal(p.First.Lux, p.First.FromLeft + p.First.FromRight, .006 * p.First.Lux);
        });

        var over = Assert.Throws<StopException>(() => HouseLightFiles.WriteVenue(answer, rig, venue, venue));
        Assert.Contains("would overwrite", over.Message, StringComparison.Ordinal);
    }

    // The demo two cities on. Rays are laid on each cone's edge here, and met with the box of the audience by hand: x within ±10, y -18 to -2, up to 1.1 m.
    [Fact]
    public void The_demo_two_cities_on_is_lit_and_nobody_looks_into_it()
    {
        var scene = RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc"), Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc"));
        var answer = HouseLightRun.Answer(scene, new HouseLightAsked { Least = 300 });
        Assert.Equal(21, answer.Positions.Count(p => p.IsHeld && p.Lux >= 299.8));
        Assert.True(answer.Positions.Zip(answer.Positions.Skip(1)).All(p => p.First.Lux <= p.Second.Lux));
        Assert.All(answer.Unused.Where(u => u.Fixture.StartsWith("rail", StringComparison.Ordinal)),
            u => Assert.Equal("its beam would enter standing audience", u.Why));
        Assert.All(answer.Used, u =>
        {
            var (turn, down) = (u.Turn * Math.PI / 180, u.Down * Math.PI / 180);
            var axis = new Vector3((float)(Math.Sin(turn) * Math.Cos(down)), (float)(Math.Cos(turn) * Math.Cos(down)), (float)-Math.Sin(down));
            var (lens, side) = (u.Target - (axis * u.Throw), Vector3.Normalize(Vector3.Cross(axis, Vector3.UnitZ)));
            for (var k = 0; k < 360; k++)
            {
                var off = Vector3.Transform(side, Quaternion.CreateFromAxisAngle(axis, k * MathF.Tau / 360));
                var ray = (axis * MathF.Cos(11.4f * MathF.PI / 180)) + (off * MathF.Sin(11.4f * MathF.PI / 180));
                var at = lens + (ray * ((1.1f - lens.Z) / ray.Z));
                Assert.False(ray.Z < 0 && Math.Abs(at.X) < 10 && at.Y is > -18 and < -2, $"{u.Fixture} comes down at {at}");
            }
        });
    }

    [Fact]
    public void Performers_and_flat_areas_are_lit_at_their_faces()
    {
        var answer = Answer(Lanterns((0, -5, 6.5)), 50, [], asked => asked with { Modelling = "0.1-2" },
            "\"scenery\": [{ \"name\": \"singer\", \"shape\": \"person\", \"at\": [0.5, 0, 0], \"height\": 1.8 }],");
        var singer = Assert.Single(answer.Positions);
        Assert.Equal("singer", singer.Name);
        Assert.Equal((.5f, 1.8f * .92f), (singer.Point.X, singer.Point.Z), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-3 && Math.Abs(a.Item2 - b.Item2) < 1e-3);
        Assert.True(singer.IsHeld);
        answer = Answer(Lanterns((0, -5, 6.5)), 50, ["square"], asked => asked with { Face = 1.6f },
            "\"areas\": [{ \"name\": \"square\", \"corner\": [-0.5, 0, 0.01], \"across\": [1, 0, 0], \"along\": [0, 1, 0], \"points\": [3, 2] }],");
        Assert.Equal(6, answer.Positions.Count);
        Assert.All(answer.Positions, p => Assert.Equal(1.61f, p.Point.Z, 1e-3f));
    }

    private static string Text(double x, double y, double z) => string.Create(CultureInfo.InvariantCulture, $"{x},{y},{z}");

    /// <summary>A venue file with lanterns, numbered from 1, that look at where the faces are.</summary>
    private static string Lanterns(params (double X, double Y, double Z)[] at) => $"{{ \"name\": \"Here\", \"hangs\": [\n{string.Join(",\n", at.Select((l, i) =>
        string.Create(CultureInfo.InvariantCulture, $$"""
          { "name": "lantern {{i + 1}}", "profile": "own", "number": {{i + 1}}, "at": [{{l.X}}, {{l.Y}}, {{l.Z}}],
            "aim": [0, 0, 1.5], "patch": "1.{{(2 * i) + 1}}" }
        """)))}\n] }}";

    private string Rig(string more)
    {
        _folder.File("own.ies", "IESNA:LM-63-2002\n[TEST] computed\nTILT=NONE\n1 -1 1 9 1 1 2 -.1 0 0\n1 1 10\n0 2 4 6 8 10 11 12 90\n0\n"
            + "10000 10000 10000 10000 10000 10000 5000 0 0\n");
        _folder.File("own.fixture.jsonc", """
            { "name": "Own", "geometry": [{ "name": "lens", "beam": { "photometry": "own.ies", "lensRadius": 0.001 } }],
              "modes": [{ "name": "One", "channels": [{ "attribute": "Dimmer", "geometry": "lens", "bits": "16" }] }] }
            """);
        var floor = "{ \"name\": \"floor\", \"shape\": \"plane\", \"size\": [60, 60, 1] }";
        more = more.Contains("\"scenery\": [", StringComparison.Ordinal) ? more.Replace("\"scenery\": [", $"\"scenery\": [{floor}, ", StringComparison.Ordinal)
            : $"\"scenery\": [{floor}], {more}";
        return _folder.File("own.rig.jsonc", $"{{ \"name\": \"Small\", \"profiles\": [\".\"], {more.TrimEnd(',', ' ')} }}");
    }

    private HouseLightAnswer Answer(string venue, double least, IReadOnlyList<string> on, Func<HouseLightAsked, HouseLightAsked>? with = null, string more = "")
    {
        var asked = new HouseLightAsked { Least = least, On = on, ClearAir = true };
        return HouseLightRun.Answer(RigFiles.Open(Rig(more), _folder.File("v.venue.jsonc", venue)), with?.Invoke(asked) ?? asked);
    }
}
