using StageView.Live.Terms;

namespace StageView.Live.Tests.Shown;

/// <summary>What of the night is kept, and told where somebody looks for it.</summary>
public sealed partial class LiveShowTests
{
    // The lantern's light falls over the mirror on the floor round (0, 4, 0).
    [Fact]
    public async Task A_caution_is_written_down_and_kept_when_something_else_is_shown_or_the_rig_is_another()
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        text = text.Replace("\"areas\":", """
            "volumes": [{ "name": "stalls", "kind": "audience", "at": [0, 4, 0.5], "size": [1, 1, 1] }], "areas":
            """, StringComparison.Ordinal);
        await Save(_copy.File, text);
        await Save(Path.Combine(_copy.Folder, "dark.look.jsonc"), """{ "set": [{ "fixtures": "spot", "dimmer": 0 }] }""");
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var sender = new Sender(sacn);
        await Becomes(() => show.State().Cautions.Rows is [{ Now: true }, ..], () => sender.Send(255));
        Assert.Contains("stalls", show.State().Cautions.Rows[0].Text, StringComparison.Ordinal);
        Assert.Single(_journal.Newest(100),
            e => e.Kind == "caution" && e.Text.StartsWith("the network: spot off a mirror shines into stalls", StringComparison.Ordinal));
        Assert.Empty(show.State().Cautions.Earlier);
        var told = Told();

        Assert.Equal("trying dark; nothing is sent", show.TryLook("dark").Text);
        await Becomes(() => show.State().Cautions is { Rows: [], Earlier: [{ Of: "the network" }, ..] });
        Assert.True(show.Listen().Ok);
        await Becomes(() => show.State().Cautions is { Rows: [{ Now: true }, ..], Earlier: [] }, () => sender.Send(255));

        await Save(_copy.File, text.Replace("\"at\": [0, 4, 0.5]", "\"at\": [9, 4, 0.5]", StringComparison.Ordinal));
        await Becomes(() => show.State().Cautions is { Rows: [], Earlier: [{ Of: "the network" }, ..] }, () => sender.Send(255));

        // Found again each time, and written down the first time alone.
        Assert.Equal(told, Told());

        List<string> Told() => [.. _journal.Newest(100).Where(e => e.Kind == "caution").Select(e => e.Text)];
    }

    [Fact]
    public async Task A_fixtures_card_says_who_fights_over_its_addresses()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var one = new Sender(sacn);
        using var two = new Sender(sacn);
        await Becomes(() => Card().Network.Any(t => t.Contains("fight at equal priority 100 over 1", StringComparison.Ordinal)), () =>
        {
            one.Send(10);
            two.Send(240);
        });
        Assert.Contains("test desk", Card().Network.Single(t => t.Contains("fight", StringComparison.Ordinal)), StringComparison.Ordinal);

        // A look that is tried has no sources.
        await Save(Path.Combine(_copy.Folder, "dark.look.jsonc"), """{ "set": [{ "fixtures": "spot", "dimmer": 0 }] }""");
        Assert.Equal("trying dark; nothing is sent", show.TryLook("dark").Text);
        Assert.Empty(Card().Network);

        FixtureCard Card() => (FixtureCard)show.Fixture("spot").Data!;
    }
}
