using StageView.Rig.Pieces;

namespace StageView.Rig.Tests.Profiles;

/// <summary>Measured intensities on a beam. The file is invented; the parsers are tested in Light against files computed from closed forms.</summary>
public sealed class PhotometryTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(string beam, string ies)
    {
        _temp.Write("own.ies", ies);
        _temp.Write("own.fixture.jsonc", $$"""
            { "name": "Own", "geometry": [ { "name": "lens", "beam": { {{beam}} "photometry": "own.ies" } } ],
              "modes": [ { "name": "One", "channels": [ { "attribute": "Dimmer" } ] } ] }
            """);
        return _temp.Load("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }");
    }

    // Type C, axially symmetric, 1000 cd out to 10°, nothing from 20°: LM-63-2002, section 5.
    private const string Ies = "IESNA:LM-63-2002\n[TEST] invented\nTILT=NONE\n1 -1 1 4 1 1 2 .1 .1 .1\n1 1 100\n0 10 20 90\n0\n1000 1000 0 0\n";

    [Fact]
    public void A_web_is_attached_and_its_lumens_are_the_flux()
    {
        var rig = Load("\"kind\": \"spot\",", Ies);
        var beam = rig.Fixtures[0].Mode.Geometry[0].Beam!;
        Assert.Equal(0, beam.Web);
        Assert.Equal(1000, rig.Webs[0].PeakCandela, 1);

        // 1000 cd over the cone of half-angle 10° (.09546 sr) and a linear fall to 20°: between 95 and 1000·(2π(1 - cos 20°)) = 379 lm.
        Assert.InRange(beam.LuminousFlux, 96, 378);
        Assert.Equal(rig.Webs[0].Lumens, beam.LuminousFlux);
        Assert.Equal(5000, Load("\"flux\": 5000,", Ies).Fixtures[0].Mode.Geometry[0].Beam!.LuminousFlux);
    }

    [Fact]
    public void A_damaged_file_is_refused_with_its_line()
    {
        _temp.Write("own.ies", "IESNA:LM-63-2002\nTILT=NONE\n1 -1 1 4 1 x");
        _temp.Write("own.fixture.jsonc", """
            { "name": "Own", "geometry": [ { "name": "lens", "beam": { "photometry": "own.ies" } } ], "modes": [ { "name": "One", "channels": [] } ] }
            """);
        var problems = _temp.Refused("{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\" } ] }");
        Assert.Contains(problems, p => p.Text.Contains("own.ies: line", StringComparison.Ordinal));
    }
}
