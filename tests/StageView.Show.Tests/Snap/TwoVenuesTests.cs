using StageView.Show.Cues;
using StageView.Show.Rigs;
using StageView.Show.Snap;

namespace StageView.Show.Tests.Snap;

/// <summary>The same show in two cities, each captured with its own pans and tilts.</summary>
public sealed class TwoVenuesTests : IDisposable
{
    private const string Show = """
        { "length": 4, "cues": [
          { "time": 0, "set": [{ "fixtures": "113-118", "dimmer": 0.5, "zoom": 8, "aim": { "from": [-3, 4.6, 0], "to": [3, 4.6, 0] } }] },
          { "time": 2, "set": [{ "fixtures": "113-118", "dimmer": 0.4 }] }] }
        """;

    private static readonly string s_rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");
    private readonly TempFolder _folder = new();
    private readonly string _lower;

    public TwoVenuesTests() => _lower = _folder.File("lower.venue.jsonc", """{ "name": "Lower", "move": [{ "what": "downstage truss", "trim": 6.9 }] }""");

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_same_places_are_reached_with_other_pans_and_tilts()
    {
        var (a, b) = (Capture("a", null), Capture("b", _lower));
        var one = ShowsRun.Run(new ShowsAsked(s_rig, a, b, "time", .25));
        Assert.Contains(one.Partings, p => p is { Name: "down head 3", Attribute: "Tilt" });
        var two = ShowsRun.Run(new ShowsAsked(s_rig, a, b, "time", .25, null, _lower));
        Assert.False(two.IsDifference, string.Join(", ", two.Partings));
        Assert.Empty(two.OneSided);
    }

    // By hand: head 1 hangs at x = -5.6, y = 1.8, z = 7.68, and its profile's axes cross .52 m lower, at 7.16. To (-3, 4.6, 0) it goes 2.6 and 2.8 m aside: a
    // metre lower the same pan and tilt land 1/7.16 of that nearer.
    [Fact]
    public void Yesterdays_levels_land_elsewhere_on_a_lower_truss()
    {
        var a = Capture("a", null);
        var answer = ShowsRun.Run(new ShowsAsked(s_rig, a, a, "time", .25, null, _lower));
        var lands = answer.Partings.Where(p => p.Attribute == LandingComparison.Attribute).ToList();
        Assert.Equal(["down head 1", "down head 2", "down head 3", "down head 4", "down head 5", "down head 6"], lands.Select(p => p.Name));
        Assert.Equal(lands.Count, answer.Partings.Count);
        Assert.Equal(Math.Sqrt((2.6 * 2.6) + (2.8 * 2.8)) / 7.16, lands[0].Second, .005);
        Assert.Contains(" on deck", lands[0].FirstText, StringComparison.Ordinal);
        Assert.Empty(ShowsRun.Run(new ShowsAsked(s_rig, a, a, "time", .25, null, _lower, .6)).Partings);
    }

    [Fact]
    public void What_one_venue_alone_has_is_told_and_not_compared()
    {
        var less = _folder.File("less.venue.jsonc", """{ "name": "Less", "remove": ["down head 2"] }""");
        var a = Capture("a", null);
        var answer = ShowsRun.Run(new ShowsAsked(s_rig, a, a, "time", .5, null, less));
        Assert.Equal(["down head 2"], answer.OneSided);
        Assert.Empty(answer.Partings);
    }

    private string Capture(string name, string? venue)
    {
        var rig = RigFiles.Open(s_rig, venue);
        var file = _folder.File($"{name}.pcapng");
        using var stream = File.Create(file);
        CueCapture.Write(CueCapture.Open(rig, _folder.File($"{name}.cues.jsonc", Show)), stream);
        return file;
    }
}
