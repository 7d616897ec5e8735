using StageView.Light.Cautions.Limits;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

/// <summary>Caution limits of the tour's file, of a file that it includes, and of the house.</summary>
public sealed class VenueLimitsTests : IDisposable
{
    private const string Tour = """{ "include": "more.rig.jsonc", "limits": { "least": 300, "exposure": 0.1 } }""";

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private CautionLimits Limits(string? venue, out IReadOnlyList<string> changes)
    {
        _temp.Write("more.rig.jsonc", """{ "limits": { "least": 1, "strobe": 2 } }""");
        var options = TempRig.WithAssets with { Venue = venue is null ? null : _temp.Write("v.venue.jsonc", venue) };
        Assert.True(RigLoader.TryLoad(_temp.Write("t.rig.jsonc", Tour), options, out var rig, out var problems), string.Join('\n', problems));
        changes = rig.VenueChanges;
        return rig.Limits;
    }

    [Fact]
    public void A_file_goes_before_what_it_includes() => Assert.Equal(
        CautionLimits.Default with { LeastLux = 300, ExposureSeconds = .1, StrobeRate = 2 }, Limits(null, out _));

    [Fact]
    public void The_house_goes_before_the_tour_and_what_it_does_not_name_stays()
    {
        var limits = Limits("""{ "name": "House", "limits": { "exposure": 0.25, "clearance": 2 } }""", out var changes);
        Assert.Equal(CautionLimits.Default with { LeastLux = 300, ExposureSeconds = .25, StrobeRate = 2, ClearanceMetres = 2 }, limits);
        Assert.Equal(2, changes.Count(c => c.Contains("limit", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_limit_out_of_its_range_is_told_with_its_place()
    {
        var venue = _temp.Write("v.venue.jsonc", """{ "name": "House", "limits": { "exposure": 11 } }""");
        var tour = _temp.Write("t.rig.jsonc", "{}");
        Assert.False(RigLoader.TryLoad(tour, TempRig.WithAssets with { Venue = venue }, out _, out var problems));
        Assert.Contains("$.limits.exposure: error: 11 is out of range", Assert.Single(problems, p => p.Severity == ProblemSeverity.Error).ToString(),
            StringComparison.Ordinal);
    }
}
