using StageView.Wire.Health;

namespace StageView.Wire.Tests.Health;

/// <summary>The words of each kind of finding, of one universe and of several.</summary>
public sealed class FindingWordsTests
{
    [Theory]
    [InlineData(FindingKind.PatchedButSilent,
        "universe 3 is patched but silent: nothing was heard in 12 s",
        "universes 3 to 5 are patched but silent: nothing was heard in 12 s")]
    [InlineData(FindingKind.HeardButNotPatched,
        "universe 3 is heard from X but nothing is patched there",
        "universes 3 to 5 are heard from X but nothing is patched there")]
    [InlineData(FindingKind.SourcesDisagree,
        "universe 3: X fight at equal priority 100 over 1-3, 7",
        "universes 3 to 5: X fight at equal priority 100 over 1-3, 7")]
    [InlineData(FindingKind.BackupNeverSent,
        "universe 3: X says it offers it but never sent a packet",
        "universes 3 to 5: X says it offers them but never sent a packet")]
    [InlineData(FindingKind.BackupLeavesOut,
        "universe 3 has one source; X, which doubles 4 others, never sent it",
        "universes 3 to 5 have one source each; X, which doubles 4 others, never sent them")]
    [InlineData(FindingKind.SourceStopped,
        "universe 3: X stopped 12.0 s ago without saying so; others are heard",
        "universes 3 to 5: X stopped 12.0 s ago without saying so; others are heard")]
    [InlineData(FindingKind.SourceEnded,
        "universe 3: X ended its stream 12.0 s ago and no other source sends; its last levels are held",
        "universes 3 to 5: X ended its streams 12.0 s ago and no other source sends; its last levels are held")]
    [InlineData(FindingKind.LevelsFrozen,
        "universe 3 is frozen: its synchronisation packets stopped and the source asks to wait for them",
        "universes 3 to 5 are frozen: their synchronisation packets stopped and the source asks to wait for them")]
    [InlineData(FindingKind.LevelsStill,
        "universe 3: X hasn't changed a level for 12 s while its other universes move",
        "universes 3 to 5: X hasn't changed a level for 12 s while its other universes move")]
    [InlineData(FindingKind.UniverseTooShort,
        "universe 3: X sends 24 addresses, the patch uses 30; 3.25 and above get nothing",
        "universes 3 to 5: X sends 24 addresses, the patch uses 30; address 25 and above get nothing")]
    [InlineData(FindingKind.PacketsLost, "universe 3: 1 packet of X is missing (2.00 %)", "universes 3 to 5: 3 packets of X are missing (2.00 %)")]
    [InlineData(FindingKind.TooManySources,
        "universe 3: 1 packet of further sources found no room beside the 4 known",
        "universes 3 to 5: 3 packets of further sources found no room beside the 4 known of each")]
    [InlineData(FindingKind.PreviewOnly,
        "universe 3 is preview data alone: other receivers ignore it",
        "universes 3 to 5 are preview data alone: other receivers ignore them")]
    [InlineData(FindingKind.PreviewRefused,
        "universe 3 is heard as preview data alone, from X, and the rig file's network settings refuse preview: nothing of it is used",
        "universes 3 to 5 are heard as preview data alone, from X, and the rig file's network settings refuse preview: nothing of them is used")]
    [InlineData(FindingKind.OtherStartCodes,
        "universe 3 also carries 1 packet with other start codes (the last 0x17), which are no levels",
        "universes 3 to 5 also carry 3 packets with other start codes (the last 0x17), which are no levels")]
    public void Of_one_universe_and_of_several(FindingKind kind, string one, string several)
    {
        Finding[] found = [.. Enumerable.Range(3, 3).Select(u => new Finding
        {
            Kind = kind, Stands = true, Universes = [u], Sources = ["X"], Addresses = [1, 2, 3, 7], Priority = 100,
            Sends = 24, Needs = 30, Beside = 4, StartCode = 0x17, Count = 1, Of = 50, Seconds = 12 + (.1 * (u - 3)),
        })];
        Assert.Equal(one, found[0].Text);
        Assert.Equal(several, Assert.Single(FindingGroups.Of(found)).Text);
        var over = kind == FindingKind.PacketsLost ? "universe 3: for 10 min fewer than 1 in 100 packets of X went missing" : one;
        Assert.Equal("over: " + over, FindingWords.Over(found[0], TimeSpan.FromMinutes(10)));
    }

    [Theory]
    [InlineData(FindingKind.DroppedByThisMachine,
        "this machine dropped 2 packets in the last minute for want of receive buffer; lift it with 'sysctl -w net.core.rmem_max=67108864'")]
    [InlineData(FindingKind.TooMany,
        "2 packets of further universes or senders found no room in the last minute; the bounds protect this machine's memory")]
    [InlineData(FindingKind.Malformed, "2 malformed packets were refused in the last minute; the last: cut short")]
    public void Of_the_whole_network(FindingKind kind, string text) =>
        Assert.Equal(text, new Finding { Kind = kind, Stands = true, Count = 2, WithinSeconds = 60, Reason = "cut short" }.Text);

    [Fact]
    public void Every_kind_has_words() =>
        Assert.All(Enum.GetValues<FindingKind>(), kind => Assert.NotEmpty(new Finding { Kind = kind, Stands = false, Universes = [1], Sources = ["X"] }.Text));

    [Fact]
    public void What_differs_in_a_field_that_doesnt_add_up_stays_apart()
    {
        var short24 = new Finding { Kind = FindingKind.UniverseTooShort, Stands = true, Universes = [1], Sources = ["X"], Sends = 24, Needs = 30 };
        Finding[] others = [short24 with { Universes = [2], Sends = 25 }, short24 with { Universes = [3], Sources = ["Y"] },
            short24 with { Universes = [4], Stands = false }];
        Assert.Equal(4, FindingGroups.Of([short24, .. others]).Count);

        // Stopped together within three seconds, and apart beyond.
        var stopped = new Finding { Kind = FindingKind.SourceStopped, Stands = true, Universes = [1], Sources = ["X"], Seconds = 3, Held = true };
        Assert.Equal(["universes 1, 2: X stopped 3.0 s ago without saying so; its last levels are held",
                "universe 3: X stopped 5 min ago without saying so; its last levels are held"],
            FindingGroups.Of([stopped, stopped with { Universes = [2], Seconds = 5.9 }, stopped with { Universes = [3], Seconds = 305 }]).Select(f => f.Text));
    }
}
