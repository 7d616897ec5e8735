namespace StageView.App.Tests.Verbs;

/// <summary>What <c>pixels --send</c> asks before it sends to another address than loopback.</summary>
public sealed class PixelsVerbTests
{
    private static readonly string[] Asked =
    [
        "pixels", Repo.File("scenes", "foundry", "panels.rig.jsonc"), "--content", "bands",
        "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"), "--at", "1",
    ];

    // 192.0.2.1 is nobody's (RFC 5737).
    [Theory]
    [InlineData("no terminal to ask on; nothing was sent", "--send", "--to", "192.0.2.1")]
    [InlineData("--to names where --send sends to", "--to", "192.0.2.1")]
    [InlineData("not an IP address", "--send", "--to", "somewhere")]
    public void Levels_leave_this_machine_only_when_someone_agrees(string said, params string[] words)
    {
        var run = CommandRun.Of([.. Asked, .. words]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(said, run.Errors, StringComparison.Ordinal);
        Assert.Equal("", run.Output);
        run.AssertPlainWords();
    }
}
