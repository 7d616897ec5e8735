using System.Globalization;
using StageView.Rig.Assets;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;
using StageView.Rig.Sheets;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Sheets;

/// <summary>A profile from a data sheet: what is written is what was said, and each value says where it is from.</summary>
public sealed class SheetTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static DataSheet Sheet(params (string Key, string Text)[] answers)
    {
        var reader = new SheetReader("sheet 2");
        foreach (var (key, text) in answers)
        {
            Assert.True(reader.TryAnswer(key, text, out var why), why);
        }

        return reader.Read("own", out var missing) ?? throw new InvalidOperationException(missing);
    }

    private (FixtureProfile Profile, IReadOnlyList<RigProblem> Problems, string Text) Written(DataSheet sheet, string photometry = "")
    {
        var text = SheetWriter.Write(sheet, photometry);
        _folder.File("own.fixture.jsonc", text);
        var rig = _folder.File("a.rig.jsonc", """{ "profiles": ["."], "hangs": [{ "name": "a", "profile": "own", "patch": "1.1" }] }""");
        Assert.True(RigLoader.TryLoad(rig, RigLoadOptions.Default, out var scene, out var problems), string.Join('\n', problems) + text);
        return (scene.Fixtures[0].Profile, problems, text);
    }

    /// <summary>A small file: Gaussian, half at 10° (a full beam angle of 20°), a tenth at 10·√(ln 10 / ln 2) = 18.23°.</summary>
    private string Ies()
    {
        var angles = Enumerable.Range(0, 91).Select(i => i * .5).ToList();
        string Row(IEnumerable<double> values) => string.Join(' ', values.Select(v => v.ToString("0.###", CultureInfo.InvariantCulture)));
        return _folder.File("own.ies", $"IESNA:LM-63-2002\n[TEST] own\nTILT=NONE\n1 -1 1 {angles.Count} 1 1 2 0 0 0\n1 1 90\n{Row(angles)}\n0\n"
            + Row(angles.Select(a => 50_000 * Math.Exp(-Math.Log(2) * a * a / 100))) + "\n");
    }

    [Fact]
    public void A_moving_wash_in_full()
    {
        var (profile, problems, text) = Written(Sheet(
            ("lumens", "12,000 lm @ p. 3"), ("beam", "8-45°"), ("field", "9 to 54 deg"), ("edge", "soft"), ("pan", "540"), ("pan-speed", "200"),
            ("tilt", "-130..130"), ("tilt-speed", "1.8 s"), ("weight", "19.5 kg"), ("power", "470"), ("kelvin", "6500K"), ("lens", "160 mm"),
            ("channels", "pan, tilt, pan fine, tilt fine, dimmer, zoom, -, red, green, blue, gobo wheel, shutter")));
        Assert.Empty(problems);
        Assert.Equal((19.5f, 470f), (profile.WeightKilograms!.Value, profile.PowerWatts!.Value));
        var mode = profile.Modes[0];
        var lens = mode.Geometry[^1].Beam!;
        Assert.Equal((BeamKind.Wash, 12_000f, 6500f, .08f), (lens.Kind, lens.LuminousFlux, lens.ColourTemperature, lens.LensRadius));
        Assert.Equal(1.2f, lens.FieldAngle / lens.BeamAngle, .001f);
        Assert.Equal([[1, 3], [2, 4], [5], [6], [8], [9], [10], [12]], mode.Channels.Select(c => c.Offsets));
        Assert.Equal((8, 45f), (mode.Channels[3].Functions[0].PhysicalFrom, mode.Channels[3].Functions[0].PhysicalTo));
        Assert.Equal((-270, 270f), (mode.Channels[0].Functions[0].PhysicalFrom, mode.Channels[0].Functions[0].PhysicalTo));
        Assert.Equal(200, mode.Geometry[1].Axis!.TopSpeed);

        // The sheet's time for the whole range is kept: range / speed + speed / acceleration.
        var tilt = mode.Geometry[2].Axis!;
        Assert.Equal(1.8, (260 / tilt.TopSpeed) + (tilt.TopSpeed / tilt.Acceleration), .005);
        Assert.Equal(["Red", "Green", "Blue"], profile.Emitters.Select(e => e.Name));
        Assert.Equal(1, profile.Emitters.Sum(e => e.Share), 1e-4f);
        Assert.Contains("\"flux\": 12000, // lm: sheet 2, p. 3", text, StringComparison.Ordinal);
        Assert.Contains("\"weight\": 19.5, // kg: sheet 2\n", text, StringComparison.Ordinal);
        Assert.Contains("// 11: gobo wheel: not written yet", text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_not_said_is_assumed_and_marked()
    {
        var (profile, problems, text) = Written(Sheet(("lumens", "4000")));
        Assert.Empty(problems);
        Assert.Equal(["Dimmer"], profile.Modes[0].Channels.Select(c => c.Functions[0].Attribute));
        foreach (var key in (string[])["beamAngle", "fieldAngle", "lensRadius", "colourTemperature", "kind", "channels", "body"])
        {
            var line = text.Split('\n').First(l => l.Contains($"\"{key}\":", StringComparison.Ordinal));
            Assert.Contains("assumed: common practice, no source", line, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("pan, tilt, dimmer, zoom", "60 deg", "Dimmer,Zoom", "1: pan: its range is not known")]
    [InlineData("dimmer, gobo wheel", "20", "Dimmer", "2: gobo wheel")]
    [InlineData("control, control, dimmer", "20", "Control1,Control2,Dimmer", "changes no light")]
    [InlineData("Dimmer, Frost1, Gobo1PosRotate", "20", "Dimmer,Frost1,Gobo1PosRotate", "sheet 2")]
    [InlineData("cyan, magenta, yellow, cto, iris, focus, frost, speed", "20",
        "ColorSub_C,ColorSub_M,ColorSub_Y,CTO,Iris,Focus1,Frost1,PositionMSpeed", "fast at 0")]
    public void Lists_of_channels(string channels, string beam, string attributes, string says)
    {
        var (profile, _, text) = Written(Sheet(("lumens", "4000"), ("beam", beam), ("channels", channels)));
        Assert.Equal(attributes, string.Join(',', profile.Modes[0].Channels.Select(c => c.Functions[0].Attribute)));
        Assert.Contains(says, text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("lumens", "much", "is no number in lm")]
    [InlineData("lumens", "0", "0 lm can't be: 1 to")]
    [InlineData("lumens", "100-200", "is no number in lm")]
    [InlineData("beam", "200", "200 deg can't be")]
    [InlineData("beam", "wide", "no angle in degrees")]
    [InlineData("weight", "12 lbs", "is no number in kg")]
    [InlineData("pan", "-540", "is no range in degrees")]
    [InlineData("pan-speed", "fast", "is no speed")]
    [InlineData("pan-speed", "10 m", "is no speed")]
    [InlineData("edge", "furry", "hard or soft")]
    [InlineData("emitters", "red, octarine", "no emitter \"octarine\" is known")]
    [InlineData("emitters", "red, red", "named twice")]
    [InlineData("channels", "pan, tlt", "channel 2, \"tlt\", is no known word: did you mean \"tilt\"?")]
    [InlineData("channels", "pan fine, pan", "channel 1, \"pan fine\": no channel before it")]
    [InlineData("channels", "dimmer, dimmer", "Dimmer is there already")]
    [InlineData("photometry", "none.ies", "none.ies: ")]
    public void What_can_not_be_is_refused_with_its_reason(string key, string text, string why)
    {
        var reader = new SheetReader("");
        Assert.False(reader.TryAnswer(key, text, out var told));
        Assert.Contains(why, told, StringComparison.Ordinal);
        Assert.False(reader.Has(key));
    }

    [Fact]
    public void Light_must_be_known_and_the_field_no_smaller_than_the_beam()
    {
        Assert.Null(new SheetReader("").Read("a", out var why));
        Assert.Contains("lumens, or a photometric file", why, StringComparison.Ordinal);
        var reader = new SheetReader("");
        Assert.True(reader.TryAnswer("lumens", "10", out _) && reader.TryAnswer("beam", "30", out _) && reader.TryAnswer("field", "20", out _));
        Assert.Null(reader.Read("a", out why));
        Assert.Contains("can't be smaller", why, StringComparison.Ordinal);
    }

    /// <summary>Without angles of its own the profile has the file's; a zoom is only compared.</summary>
    [Fact]
    public void A_photometric_file_gives_what_the_sheet_does_not()
    {
        var ies = Ies();
        var (profile, problems, text) = Written(Sheet(("photometry", ies)), "own.ies");
        Assert.Empty(problems);
        Assert.Contains("\"beamAngle\": 20, // the photometric file", text, StringComparison.Ordinal);
        Assert.Contains("\"fieldAngle\": 36.45, // the photometric file", text, StringComparison.Ordinal);
        Assert.True(profile.Modes[0].Geometry[^1].Beam!.Web >= 0);
        Assert.All(profile.Photometry, m => Assert.False(m.IsApart));

        (profile, _, text) = Written(Sheet(("photometry", ies), ("lumens", "7000"), ("beam", "8-40")), "own.ies");
        Assert.Contains("\"measured\": \"own.ies\"", text, StringComparison.Ordinal);
        Assert.True(profile.Modes[0].Geometry[^1].Beam!.Web < 0);
        Assert.Equal((20f, 20f), (MathF.Round(profile.Photometry[1].Stated, 1), MathF.Round(profile.Photometry[1].Measured, 1)));
    }

    /// <summary>The file's lumens by quadrature, its angles by hand (see <see cref="Ies"/>); a tenth may part them.</summary>
    [Theory]
    [InlineData(6850, 20, 36, "")]
    [InlineData(9000, 20, 36, "the lumens of 9000 lm")]
    [InlineData(6850, 25, 36, "the beam angle of 25 deg is not what the photometric file has: 20 deg; they may part by 2 deg")]
    [InlineData(6850, 20, 26, "the field angle of 26 deg is not what the photometric file has: 36.45 deg")]
    [InlineData(6850, 21.9, 39, "")]
    public void A_profile_beside_its_photometric_file(float flux, float beam, float field, string says)
    {
        Ies();
        _folder.File("own.fixture.jsonc", string.Create(CultureInfo.InvariantCulture, $$"""
            { "name": "own",
              "geometry": [{ "name": "lens", "beam": { "flux": {{flux}}, "beamAngle": {{beam}}, "fieldAngle": {{field}}, "photometry": "own.ies" } }],
              "modes": [{ "name": "m", "channels": [{ "attribute": "Dimmer" }] }] }
            """));
        var rig = _folder.File("a.rig.jsonc", """{ "profiles": ["."], "hangs": [{ "name": "a", "profile": "own", "patch": "1.1" }] }""");
        Assert.True(RigLoader.TryLoad(rig, RigLoadOptions.Default, out var scene, out var problems), string.Join('\n', problems));
        Assert.Equal(says.Length > 0, problems.Any(p => p.ToString().Contains(says.Length > 0 ? says : "photometric", StringComparison.Ordinal)));
        Assert.True(problems.Count <= 1);

        // ∫ 50000 · 2^-(θ/10°)² · 2π sin θ dθ to 45°, by the midpoint rule.
        var lumens = Enumerable.Range(0, 45_000).Select(i => (i + .5) / 1000)
            .Sum(d => 50_000 * Math.Pow(2, -d * d / 100) * 2 * Math.PI * Math.Sin(d * Math.PI / 180) * Math.PI / 180_000);
        Assert.Equal(lumens, scene.Fixtures[0].Profile.Photometry[0].Measured, 5.0);
    }
}
