using System.Text.Json;

namespace StageView.App.Tests.Verbs;

[Collection("network ports")]
public sealed class ExchangeVerbTests : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly int _names = FreePort.Udp();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_commit_is_listed_looked_at_and_taken_only_when_told_to()
    {
        var rig = _folder.File("show.rig.jsonc", DrawnRig.Text);
        using var peer = new ExchangePeer("tour", _names);
        Assert.Equal(0, CommandRun.Of("export", _folder.File("office.rig.jsonc", DrawnRig.Office(3, 6, "1.1")), "--out", _folder["office.mvr"]).ExitCode);
        peer.Ask($"commit {_folder["office.mvr"]} three heads");

        var list = Exchange(rig, "--json");
        Assert.Equal(0, list.ExitCode);
        Assert.Contains("multicast DNS", list.Errors, StringComparison.Ordinal);
        var json = JsonDocument.Parse(list.Output).RootElement;
        Assert.Equal("test peer", json.GetProperty("stations")[0].GetProperty("name").GetString());
        var id = json.GetProperty("commits")[0].GetProperty("file").GetString()![..8];
        Assert.Contains(id, Exchange(rig).Output, StringComparison.Ordinal);

        var look = Exchange(rig, "--look", id);
        Assert.Equal(0, look.ExitCode);
        Assert.Contains("3 × fixture is new, Spot head, Full: head 1 (1.1), head 2", look.Output, StringComparison.Ordinal);
        Assert.Contains("scenery riser is new", look.Output, StringComparison.Ordinal);

        // Nobody can be asked: nothing is taken.
        var unasked = Exchange(rig, "--take", "last");
        Assert.Equal(1, unasked.ExitCode);
        Assert.Contains("nothing was taken", unasked.Output, StringComparison.Ordinal);
        Assert.Contains("0 fixtures", CommandRun.Of("check", rig).Output, StringComparison.Ordinal);

        var taken = Exchange(rig, "--take", "last", "--yes");
        Assert.Equal(0, taken.ExitCode);
        Assert.Contains("3 fixtures", CommandRun.Of("check", rig).Output, StringComparison.Ordinal);
        Assert.Contains("changes nothing", Exchange(rig, "--look", "last").Output, StringComparison.Ordinal);
        Assert.Equal(DrawnRig.Text, File.ReadAllText(rig));
    }

    [Fact]
    public void What_can_t_be_done_is_said_in_plain_words()
    {
        var rig = _folder.File("plain.rig.jsonc", """{ "name": "plain" }""");
        var nobody = Exchange(rig, "--take", "last", "--wait", "1s");
        Assert.Equal(1, nobody.ExitCode);
        Assert.Contains("nobody in the group has committed", nobody.Errors, StringComparison.Ordinal);
        nobody.AssertPlainWords();
        var follow = Exchange(rig, "--follow", "--for", "1s");
        Assert.Equal(2, follow.ExitCode);
        Assert.Contains("\"include\": [\"drawing/drawing.rig.jsonc\"]", follow.Errors, StringComparison.Ordinal);
        var elsewhere = Exchange(rig, "--address", "203.0.113.7");
        Assert.Equal(3, elsewhere.ExitCode);
        Assert.Contains("203.0.113.7", elsewhere.Errors, StringComparison.Ordinal);
        elsewhere.AssertPlainWords();
        Assert.Equal(2, Exchange(rig, "--look", "last", "--take", "last").ExitCode);
    }

    [Fact]
    public void The_rig_is_committed_for_who_asks_until_the_command_ends()
    {
        using var peer = new ExchangePeer("tour", _names);
        var rig = _folder.File("office.rig.jsonc", DrawnRig.Office(2, 6, "1.1"));
        using var process = CommandRun.Start("exchange", rig, "--group", "tour", "--names-port", $"{_names}", "--commit", "as hung", "--for", "1m");
        var line = process.StandardOutput.ReadLine();
        while (line is not null && !line.StartsWith("committed", StringComparison.Ordinal))
        {
            line = process.StandardOutput.ReadLine();
        }

        var commit = peer.Ask("commits").GetProperty("commits").EnumerateObject().Single();
        Assert.Equal("as hung", commit.Value.GetProperty("comment").GetString());
        Assert.Equal(1, peer.Ask($"take {commit.Name} {_folder["got.mvr"]}").GetProperty("kind").GetInt32());
        process.Kill(entireProcessTree: true);
        process.WaitForExit();
        Assert.Contains("2 fixtures", CommandRun.Of("import", _folder["got.mvr"], "--out", _folder["got"]).Output, StringComparison.Ordinal);
    }

    private CommandRun Exchange(string rig, params string[] more) =>
        CommandRun.Of(["exchange", rig, "--group", "tour", "--names-port", $"{_names}", .. more.Contains("--wait") ? more : [.. more, "--wait", "3s"]]);
}
