using StageView.Show.Exchange;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Exchange;

public sealed class ExchangeDeskTests
{
    private static readonly TimeSpan s_patience = TimeSpan.FromSeconds(30);
    private readonly int _names = FreePort.Udp();

    [Fact]
    public async Task A_peers_commit_is_looked_at_taken_and_ours_is_read_by_another_rig()
    {
        var stop = TestContext.Current.CancellationToken;
        using var office = new Offices();
        using var peer = new ExchangePeer("tour", _names);
        await using var desk = await Join(office, follow: false);
        peer.Finds(1);
        await Until(() => desk.Stations.Count == 1);
        peer.Ask($"commit {office.Mvr(DrawnRig.Office(3, 6, "1.1"))} first");
        await Until(() => desk.Commits.Count == 1);
        Assert.Empty(RigFiles.Open(office.Rig).Fixtures);

        var look = await desk.Look(desk.Commits[0], stop);
        Assert.NotEmpty(look.Changes);
        Assert.Empty(RigFiles.Open(office.Rig).Fixtures);
        await desk.Take(desk.Commits[0], stop);
        Assert.Equal(3, RigFiles.Open(office.Rig).Fixtures.Count);
        Assert.Equal(desk.Commits[0].Line.File, desk.Taken);

        // What another commit would change is looked at anew once one was taken.
        peer.Ask($"commit {office.Mvr(DrawnRig.Office(2, 6, "1.1"))} second");
        await Until(() => desk.Commits.Count == 2);
        await desk.Look(desk.Commits[1], stop);
        Assert.False(desk.Known(desk.Commits[1])!.IsOld);
        await desk.Take(desk.Commits[1], stop);
        Assert.True(desk.Known(desk.Commits[0])!.IsOld);
        Assert.Contains((await desk.Take(desk.Commits[0], stop)).Changes, c => c.Names.Contains("head 3 (1.45)"));

        // What this rig commits, another of ours takes.
        using var second = new Offices();
        await using var other = await Join(second, follow: false, "second");
        await Until(() => other.Stations.Count == 2);
        await desk.Commit("ours", stop);
        await Until(() => other.Commits.Any(c => c.Line.Comment == "ours"));
        await other.Take(other.Commits.Single(c => c.Line.Comment == "ours"), stop);
        Assert.Equal(RigFiles.Open(office.Rig).Fixtures.Select(f => (f.Name, f.Number)), RigFiles.Open(second.Rig).Fixtures.Select(f => (f.Name, f.Number)));
    }

    [Fact]
    public async Task A_group_is_followed_only_where_that_was_asked_for()
    {
        using var follows = new Offices();
        using var watches = new Offices();
        using var peer = new ExchangePeer("tour", _names);
        await using var following = await Join(follows, follow: true, "following");
        await using var watching = await Join(watches, follow: false, "watching");
        peer.Finds(2);
        await Until(() => following.Stations.Any(s => s.Provider == "test peer") && watching.Stations.Any(s => s.Provider == "test peer"));
        peer.Ask($"commit {follows.Mvr(DrawnRig.Office(4, 6, "1.1"))} four");
        await Until(() => following.Taken != Guid.Empty && watching.Commits.Count == 1);
        Assert.Equal(4, RigFiles.Open(follows.Rig).Fixtures.Count);
        Assert.Empty(RigFiles.Open(watches.Rig).Fixtures);

        // What can't be used leaves the rig as it is, and the next one is followed.
        var notes = new List<string>();
        following.Noted += notes.Add;
        var bad = Path.Combine(follows.Folder, "bad.mvr");
        await File.WriteAllBytesAsync(bad, [9, 9, 9], TestContext.Current.CancellationToken);
        peer.Ask($"commit {bad} bad");
        await Until(() => notes.Any(n => n.Contains("is not taken", StringComparison.Ordinal)));
        Assert.Equal(4, RigFiles.Open(follows.Rig).Fixtures.Count);
        peer.Ask($"commit {follows.Mvr(DrawnRig.Office(5, 6, "1.1"))} five");
        await Until(() => RigFiles.Open(follows.Rig).Fixtures.Count == 5);
    }

    [Fact]
    public async Task Following_a_rig_without_a_drawing_says_what_to_write()
    {
        using var office = new Offices("""{ "name": "plain" }""");
        var e = await Assert.ThrowsAsync<StopException>(() => Join(office, follow: true));
        Assert.Contains("\"include\"", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_identity_of_a_station_stays_and_is_no_other_programs()
    {
        var a = StationIdentity.Of("a.rig.jsonc", "exchange", out var lasting);
        Assert.SkipUnless(lasting, "no folder of the user's can be written to");
        Assert.Equal(a, StationIdentity.Of("a.rig.jsonc", "exchange", out _));
        Assert.NotEqual(a, StationIdentity.Of("a.rig.jsonc", "live", out _));
        Assert.NotEqual(a, StationIdentity.Of("b.rig.jsonc", "exchange", out _));
    }

    private Task<ExchangeDesk> Join(Offices office, bool follow, string role = "test") => ExchangeDesk.Join(
        new ExchangeRequest { RigFile = office.Rig, Group = "tour", Follow = follow, Role = role, NamesPort = _names },
        TimeProvider.System, TestContext.Current.CancellationToken);

    private static async Task Until(Func<bool> true_)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!true_())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < s_patience, "it did not come true");
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }
}
