using StageView.Live.Terms;

namespace StageView.Live.Tests.Terms;

public sealed class NetworkStandingTests
{
    [Theory]
    [InlineData("heard", "network", 20, 0, 0)]
    [InlineData("heard", "network", 0, 0, 0)]
    [InlineData("lost", "19 of 20 universes lost", 1, 0, 19)]
    [InlineData("lost", "1 of 20 universes lost", 10, 9, 1)]
    [InlineData("silent", "3 of 20 universes silent", 17, 3, 0)]
    [InlineData("silent", "network silent", 0, 20, 0)]
    [InlineData("lost", "network lost", 0, 19, 1)]
    [InlineData("lost", "network lost", 0, 0, 1)]
    public void The_worst_of_what_is_patched_is_what_is_said(string state, string text, int heard, int silent, int lost)
    {
        var all = Of("heard", heard).Concat(Of("silent", silent)).Concat(Of("lost", lost)).Concat(Of("unpatched", 2)).ToList();
        Assert.Equal(new NetworkStanding(state, text), NetworkStanding.Of(listens: true, all));
        Assert.Equal(new NetworkStanding("lost", "network lost"), NetworkStanding.Of(listens: false, all));
    }

    private static IEnumerable<UniverseLine> Of(string state, int count) => Enumerable.Range(1, count).Select(u => new UniverseLine(u, state, 44, 1, []));
}
