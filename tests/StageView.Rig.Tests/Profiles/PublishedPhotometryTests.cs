using System.Globalization;
using StageView.Rig.Profiles;
using StageView.Rig.Tests.Gdtf;

namespace StageView.Rig.Tests.Profiles;

/// <summary>
/// Published measurements with stated totals, attached to a beam of a rig. Only the figures stand here; headers are ours.
/// Rule of the sums: exact integral of intensities that run linearly between the angles.
/// </summary>
public sealed class PublishedPhotometryTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private const string Angles =
        "0 2.5 5 7.5 10 12.5 15 17.5 20 22.5 25 27.5 30 32.5 35 37.5 40 42.5 45 47.5 50 52.5 55 57.5 60 62.5 65 67.5 70 72.5 75 77.5 80 82.5 85 87.5 90";

    /// <summary>An LED downlight, stated total 1218 lm (LM-63-1995): figures of the example in gkjohnson/three-gpu-pathtracer, MIT.</summary>
    private const string Of1995 =
        "2225.9 2154.6 1986.3 1758.9 1532.7 1342.4 1182.9 1045.2 920.2 806.6 705.1 617.7 553.4 514.3 474.4 388.7 249.2 118.9 46.3 30.3 26.5 24.5 23 21.8 20.6 "
        + "19.6 18.5 17 14.8 12 9 6.5 4.3 2.5 1.2 0.4 0";

    /// <summary>
    /// A recessed LED, stated total 532 lm, 531.98 by another program's zonal sums (LM-63-2002): figures of sample 7 of
    /// echowuzangye/CU-calculations-based-on-IES-file, whose licence is not stated.
    /// </summary>
    private const string Of2002 =
        "269 268 266 264 260 256 251 245 237 229 221 211 200 189 177 165 152 140 127 114 102 90 79 68 58 48 39 31 24 17 12 8 6 4 3 1 0";

    /// <summary>
    /// An LED line, stated 12334 lm at a light output ratio of 100 % (EULUMDAT, symmetry 4, 24 C-planes, 37 angles): figures of sample_isym4 of
    /// 123VincentB/eulumdat-quickstart, whose packages are MIT.
    /// </summary>
    private const string Line = """
        1461.5 1360.6 1077.675 716.14 443.025 333.88 263.045 204.63 145.055 79.415 37.745 28.32 21.96 17.9 14.335 9.115 5.985 .305 .015 .005 .005 0 0 0 0 0 0 0
          0 0 0 0 0 0 0 0 0
        1461.5 1370.35 1102.665 750.4875 471.6175 346.2475 271.8725 211.17 150.425 82.8475 37.64 27.15 20.6125 16.0925 12.62 8.2475 4.37 .175 .015 .0125 .0225
          .005 0 .005 0 .0025 0 0 0 0 0 0 0 0 0 0 0
        1461.5 1387.525 1164.525 852.2175 567.83 402.4275 307.62 234.93 168.7125 95.1025 39.4475 25.8425 19.2875 14.6225 12.0925 7.5825 3.9225 .1375 .0075
          .0125 .005 .0025 .005 0 0 0 0 0 0 0 0 0 0 0 0 0 0
        1461.5 1411.175 1254.775 1003.3525 742.66 526.8375 388.8725 289.1625 205.6625 120.2925 43.9175 25.175 18.4 14.045 11.4975 8.6125 3.405 .2475 .0125 .02
          .01 .0075 .0025 .0025 0 0 0 0 0 0 0 0 0 0 0 0 0
        1461.5 1434.775 1336.3 1157.275 937.225 720.49 522.295 374.23 252.825 141.3425 44.4175 23.6925 16.9575 13.3925 11.1275 8.5525 5.6425 .88 .01 .005 .01
          .005 .005 .015 0 0 0 0 0 0 0 0 0 0 0 0 0
        1461.5 1450.15 1396.65 1263.725 1081.675 864.985 645.2875 429.7075 257.3925 116.96 32.57 20.305 15.8525 13.255 11.1975 8.5425 5.55 2.4325 .015 .02 .01
          .01 .0075 0 0 0 0 0 0 0 0 0 0 0 0 0 0
        1461.5 1456.25 1412.85 1304 1135.15 936.335 716.29 473.18 225.41 79.055 28.66 20.65 16.975 14.01 11.845 8.555 5.57 2.535 .055 .04 .005 .015 .01 0 0 0 0
          0 0 0 0 0 0 0 0 0 0
        """;

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
    [InlineData("1995", Of1995, 1218)]
    [InlineData("2002", Of2002, 532)]
    public void Lm63_files_keep_their_stated_lumens(string edition, string candela, float stated)
    {
        var lumens = Lumens("own.ies", $"IESNA:LM-63-{edition}\n[TEST] figures only\nTILT=NONE\n1 -1 1 37 1 1 2 -.1 0 0\n1 1 10\n{Angles}\n0\n{candela}\n");
        Assert.InRange(lumens, stated * .99f, stated * 1.01f);
    }

    [Fact]
    public void An_eulumdat_file_keeps_its_stated_lumens()
    {
        string[] head = ["figures only", "2", "4", "24", "15", "37", "5", "report", "line", "number", "line.ldt", "date", "1480", "65", "10", "1480", "63", "0",
            "0", "0", "0", "100", "100", "1", "0", "1", "1", "LED", "12334", "0", "0", "66.8", .. Enumerable.Repeat("0", 10)];
        var planes = Enumerable.Range(0, 24).Select(i => (15 * i).ToString(CultureInfo.InvariantCulture));
        var angles = Enumerable.Range(0, 37).Select(i => (5 * i).ToString(CultureInfo.InvariantCulture));
        var values = Line.Split((char[])[' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(7 * 37, values.Length);
        Assert.InRange(Lumens("own.ldt", string.Join("\r\n", [.. head, .. planes, .. angles, .. values])), 12334 * .99f, 12334 * 1.01f);
    }

    /// <summary>The same file on a GDTF fixture and on a bundled profile, named by the hang; a fixture beside it keeps its own.</summary>
    [Fact]
    public void A_hang_attaches_measured_intensities_to_any_fixture()
    {
        _temp.Write("ies/down.ies", $"IESNA:LM-63-2002\nTILT=NONE\n1 -1 1 37 1 1 2 -.1 0 0\n1 1 10\n{Angles}\n0\n{Of2002}\n");
        File.WriteAllBytes(Path.Combine(_temp.Folder, "own.gdtf"), ArchiveMaker.Gdtf(ArchiveMaker.Description(
            "<Geometry Name=\"Base\"><Beam Name=\"A\" LuminousFlux=\"3000\"/><Beam Name=\"B\" LuminousFlux=\"1000\"/></Geometry>",
            ArchiveMaker.Channel("Base", "Dimmer", "1"))));
        var rig = _temp.Load("""
            { "hangs": [
              { "name": "two", "profile": "own", "photometry": "ies/down.ies", "patch": "1.1" },
              { "name": "front", "profile": "front-profile", "row": { "from": [0, 0, 5], "to": [1, 0, 5], "count": 2 }, "members": [ { "member": 2,
                "photometry": "ies/down.ies" } ], "patch": "2.1" } ] }
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
