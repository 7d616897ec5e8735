using System.Globalization;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Profiles;

/// <summary>
/// Files written here from intensities in closed form, attached to a beam of a rig: their lumens are known by hand. A source of I₀·cosⁿγ sends
/// out 2π·I₀/(n + 1) lm,
/// a Lambertian one (n = 1) π·I₀ (∫ cosⁿ sin dγ = 1/(n + 1); IES Lighting Handbook, luminous flux of diffuse emitters).
/// Rule of the sums: exact integral of intensities that run linearly between the angles.
/// </summary>
public sealed class ClosedFormPhotometryTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static string Text(IEnumerable<double> values) => string.Join(' ', values.Select(v => v.ToString("0.####", CultureInfo.InvariantCulture)));

    /// <summary>An LM-63 file, axially symmetric, every 2.5° to 90°: I₀·cosⁿγ.</summary>
    private static string Lm63(string edition, double candela, int power)
    {
        var angles = Enumerable.Range(0, 37).Select(i => 2.5 * i).ToList();
        var values = angles.Select(a => candela * Math.Pow(Math.Max(0, Math.Cos(a * Math.PI / 180)), power));
        return $"IESNA:LM-63-{edition}\n[TEST] computed\nTILT=NONE\n1 -1 1 37 1 1 2 -.1 0 0\n1 1 10\n{Text(angles)}\n0\n{Text(values)}\n";
    }

    private float Lumens(string name, string text)
    {
        _temp.Write(name, text);
        _temp.Write("own.fixture.jsonc", $$"""
            { "name": "Own", "geometry": [ { "name": "lens", "beam": { "photometry": "{{name}}" } } ],
              "modes": [ { "name": "One", "channels": [ { "attribute": "Dimmer" } ] } ] }
            """);
        var rig = _temp.Load("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }");
        var beam = rig.Fixtures[0].Mode.Geometry[0].Beam!;
        Assert.Equal(0, beam.Web);
        Assert.Equal(rig.Webs[0].Lumens, beam.LuminousFlux);
        return beam.LuminousFlux;
    }

    [Theory]
    [InlineData("1995", 1000, 1, 3141.59)]
    [InlineData("1995", 800, 4, 1005.31)]
    [InlineData("2002", 500, 2, 1047.20)]
    [InlineData("2002", 20_000, 30, 4053.67)]
    public void Lm63_files_have_the_lumens_of_their_closed_form(string edition, double candela, int power, double lumens) =>
        Assert.InRange(Lumens("own.ies", Lm63(edition, candela, power)), lumens * .994, lumens * 1.006);

    // I = 12,000/π·cos γ·(1 + .4·cos 2C) cd: the second part adds nothing over a turn of C, so the lamp's 12,000 lm are all there.
    // Quadrant symmetry: planes C0 to C90 are stored.
    [Fact]
    public void An_eulumdat_file_has_the_lumens_of_its_closed_form()
    {
        string[] head =
        [
            "computed", "2", "4", "24", "15", "37", "5", "report", "line", "number", "line.ldt", "date", "1480", "65", "10", "1480", "63", "0", "0", "0", "0",
            "100", "100", "1", "0", "1", "1", "LED", "12000", "0", "0", "66.8", .. Enumerable.Repeat("0", 10),
        ];
        var planes = Enumerable.Range(0, 24).Select(i => (15.0 * i).ToString(CultureInfo.InvariantCulture));
        var angles = Enumerable.Range(0, 37).Select(i => (5.0 * i).ToString(CultureInfo.InvariantCulture));
        var values = Enumerable.Range(0, 7).SelectMany(c => Enumerable.Range(0, 37).Select(g =>
            1000 / Math.PI * Math.Max(0, Math.Cos(5 * g * Math.PI / 180)) * (1 + (.4 * Math.Cos(2 * 15 * c * Math.PI / 180)))));
        var text = string.Join("\r\n", [.. head, .. planes, .. angles, .. values.Select(v => v.ToString("0.#####", CultureInfo.InvariantCulture))]);
        Assert.InRange(Lumens("own.ldt", text), 12_000 * .997f, 12_000 * 1.001f);
        // The plane through C0 is the brighter one: 1.4 to .6 across it.
        var web = _temp.Load("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }").Webs[0];
        Assert.Equal(.6 / 1.4, web.At(.5, Math.PI / 2) / web.At(.5, 0), 3);
    }

    /// <summary>The same file on a GDTF fixture and on a bundled profile, named by the hang; a fixture beside it keeps its own.</summary>
    [Fact]
    public void A_hang_attaches_measured_intensities_to_any_fixture()
    {
        // 2π·339/4 = 532.5 lm.
        _temp.Write("ies/down.ies", Lm63("2002", 339, 3));
        File.WriteAllBytes(Path.Combine(_temp.Folder, "own.gdtf"), ArchiveMaker.Gdtf(ArchiveMaker.Description(
            "<Geometry Name=\"Base\"><Beam Name=\"A\" LuminousFlux=\"3000\"/><Beam Name=\"B\" LuminousFlux=\"1000\"/></Geometry>",
            ArchiveMaker.Channel("Base", "Dimmer", "1"))));
        var rig = _temp.Load("""
            { "hangs": [
              { "name": "two", "profile": "own", "photometry": "ies/down.ies", "patch": "1.1" },
              { "name": "front", "profile": "front-profile", "row": { "from": [0, 0, 5], "to": [1, 0, 5], "count": 2 },
                "members": [ { "member": 2, "photometry": "ies/down.ies" } ], "patch": "2.1" } ] }
            """);
        var beams = rig.Fixtures[0].Mode.Geometry.Where(g => g.Beam is not null).Select(g => g.Beam!).ToList();
        Assert.InRange(beams.Sum(b => b.LuminousFlux), 532 * .99f, 532 * 1.01f);
        Assert.Equal(3, beams[0].LuminousFlux / beams[1].LuminousFlux, 3);
        Assert.All(beams, b => Assert.True(b.Web >= 0));
        BeamData Front(int i) => rig.Fixtures[i].Mode.Geometry.Single(g => g.Beam is not null).Beam!;
        Assert.Equal((-1, 8200f), (Front(1).Web, Front(1).LuminousFlux));
        Assert.InRange(Front(2).LuminousFlux, 532 * .99f, 532 * 1.01f);
        Assert.Contains(_temp.Refused("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"front-profile\", \"photometry\": \"gone.ies\" } ] }"),
            p => p.Line == 2 && p.Path == "$.hangs[0].photometry");
        Assert.Contains(_temp.Refused("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"pixel-tube\", \"photometry\": \"ies/down.ies\" } ] }"),
            p => p.Line == 2 && p.Text.Contains("has no beam", StringComparison.Ordinal));
    }
}
