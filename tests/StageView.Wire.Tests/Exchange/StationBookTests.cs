using System.Net;
using StageView.Wire.Exchange;
using StageView.Wire.Names;

namespace StageView.Wire.Tests.Exchange;

public sealed class StationBookTests
{
    private static readonly Guid s_self = Guid.NewGuid();
    private static readonly Guid s_peer = Guid.NewGuid();
    private readonly StationBook _book = new(s_self);

    public StationBookTests() => _book.Found([Service(s_peer)]);

    [Fact]
    public void A_commit_for_others_of_a_stranger_or_heard_before_is_not_listed()
    {
        Assert.Null(_book.Told(Line(s_peer) with { For = [Guid.NewGuid()] }));
        Assert.Null(_book.Told(Line(Guid.NewGuid())));
        Assert.NotNull(_book.Told(Line(s_peer) with { For = [Guid.NewGuid(), s_self] }));
        var line = Line(s_peer);
        Assert.NotNull(_book.Told(line));
        Assert.Null(_book.Told(line));
        Assert.Equal(2, _book.Commits.Count);
    }

    [Fact]
    public void Stations_and_commits_are_bounded_and_the_newest_stay()
    {
        var lines = Enumerable.Range(0, ExchangeNumbers.MostCommits + 20).Select(_ => Line(s_peer)).ToList();
        lines.ForEach(l => _book.Told(l));
        Assert.Equal(lines[20..].Select(l => l.File), _book.Commits.Select(c => c.Line.File));
        _book.Found([.. Enumerable.Range(0, 500).Select(_ => Service(Guid.NewGuid()))]);
        Assert.Equal(ExchangeNumbers.MostStations, _book.Stations.Count);
        Assert.Empty(_book.Commits);
    }

    [Fact]
    public void One_that_names_no_identity_or_ours_is_no_station()
    {
        _book.Found([Service(s_self), new ServiceSeen("x", IPAddress.Loopback, 5, new Dictionary<string, string>())]);
        Assert.Empty(_book.Stations);
    }

    private static ServiceSeen Service(Guid id) => new("a", IPAddress.Loopback, 4711, new Dictionary<string, string> { ["StationUUID"] = $"{id}" });

    private static CommitLine Line(Guid station) => new(Guid.NewGuid(), station, 5, "", "", []);
}
