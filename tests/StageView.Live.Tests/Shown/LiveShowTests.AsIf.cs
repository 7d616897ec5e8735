using StageView.Live.Terms;

namespace StageView.Live.Tests.Shown;

/// <summary>Levels that are looked at instead of those that come in.</summary>
public sealed partial class LiveShowTests
{
    [Fact]
    public async Task A_level_that_is_looked_at_is_seen_on_that_seat_alone_until_it_is_released_or_something_else_is_shown()
    {
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "full.look.jsonc"), """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""",
            TestContext.Current.CancellationToken);
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var sender = new Sender(sacn);
        await Becomes(() => Level(show) == 0 && show.State().Network.Universes.Any(u => u.State == "heard"), () => sender.Send(0));
        using var apart = show.Apart();
        var name = show.Rig.Fixtures[0].Name;
        FixtureCard Card(ISeat seat) => (FixtureCard)seat.Fixture(name).Data!;
        var dimmer = Card(show).Channels.First(c => c.Address == "1.1");
        Assert.Empty(Card(apart).Landings);
        var full = new AsIfLevel(name, dimmer.Name, dimmer.Full);

        Assert.True(apart.LookAsIf([full]) is { Ok: true, Text: "as if: for looking only, nothing is sent" });
        Assert.Contains(Card(apart).Landings, l => l.Lux > 100);
        Assert.Equal([dimmer.Name], Card(apart).AsIf);
        await Becomes(() => apart.State().AsIf is { Levels: 1, Fixtures: 1 });
        Assert.True(Says($"on one page alone: looking at levels as if: {dimmer.Name} of {name}; nothing is sent"));

        // Who sends what stays told; the house is as it was; what comes in later and a save of the rig file change nothing of it.
        Assert.Equal("wins", Card(apart).Drives[0].Sources[0].Fate);
        Assert.Empty(Card(show).Landings);
        Assert.Null(show.State().AsIf);
        await File.AppendAllTextAsync(_copy.File, "\n", TestContext.Current.CancellationToken);
        await Becomes(() => show.Rig.Version == 2 && Level(show) == 3, () => sender.Send(3));
        var held = Card(apart).Channels.First(c => c.Name == dimmer.Name);
        Assert.Equal((dimmer.Full, 0x0303), (held.Raw, Assert.Single(held.Sent!)));

        // Refused where there is nothing like it.
        Assert.Equal("the rig has no fixture named nobody", apart.LookAsIf([full with { Fixture = "nobody" }]).Text);
        Assert.Contains("goes from 0 to", apart.LookAsIf([full with { Raw = dimmer.Full + 1 }]).Text, StringComparison.Ordinal);
        Assert.Contains("has no channel", apart.LookAsIf([full with { Channel = "none" }]).Text, StringComparison.Ordinal);

        Assert.True(apart.EndAsIf().Ok);
        Assert.Equal(3, Card(apart).Channels.First(c => c.Name == dimmer.Name).Raw >> 8);
        Assert.Empty(Card(apart).AsIf);
        Assert.True(Says("looking at levels as they come in again"));

        // Half of an attribute for several at once; another source ends it.
        Assert.True(apart.LookAsIf([name], "Dimmer", .5).Ok);
        Assert.Equal(dimmer.Full / 2.0, Card(apart).Channels.First(c => c.Name == dimmer.Name).Raw, 1.0);
        Assert.False(apart.LookAsIf([name], "Gobo1", .5).Ok);
        Assert.True(apart.TryLook("full").Ok);
        await Becomes(() => apart.State() is { AsIf: null, Source: "look" });
        Assert.True(apart.Listen().Ok);
        Assert.Equal(3, Card(apart).Channels.First(c => c.Name == dimmer.Name).Raw >> 8);
    }

    [Fact]
    public async Task What_is_found_while_levels_are_looked_at_is_told_apart_from_what_the_desk_sent()
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File,
            text.Replace("\"haze\":", "\"volumes\": [{ \"name\": \"stalls\", \"kind\": \"audience\", \"at\": [0, 4, 0.5], \"size\": [3, 3, 1] }],\n  \"haze\":",
                StringComparison.Ordinal), TestContext.Current.CancellationToken);
        using var show = Start();
        var name = show.Rig.Fixtures[0].Name;
        Assert.True(show.LookAsIf([name], "Dimmer", 1).Ok);
        Assert.Equal("as if, over the network", show.Worst);
        await Becomes(() => show.State().Cautions.Rows.Count > 0);
        Assert.True(show.EndAsIf().Ok);
        await Becomes(() => show.State().Cautions is { Rows.Count: 0, Earlier.Count: > 0 } c && c.Earlier.All(e => e.Of == "the network, as if"));
    }

    [Fact]
    public void Several_fixtures_tell_who_is_lit_and_how_far_they_lie_apart()
    {
        using var foundry = new RigCopy("foundry");
        using var show = new Live.Shown.LiveShow(
            new Live.Shown.LiveShowOptions
            {
                RigFile = foundry.File, Recordings = foundry.Folder, Looks = foundry.Folder, E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(),
            },
            _journal, _clock);
        var three = show.Rig.Fixtures.Where(f => f.Name.StartsWith("front ", StringComparison.Ordinal)).Take(3).ToList();
        var names = three.Select(f => f.Name).ToList();
        SeveralCard Card() => (SeveralCard)show.Several([.. names, "nobody"]).Data!;
        Assert.Equal((3, 0.0, null), (Card().Fixtures.Count, Card().Lumens, Card().ColourSpread));
        Assert.True(show.LookAsIf([names[0]], "Dimmer", 1).Ok);
        Assert.True(show.LookAsIf([names[1]], "Dimmer", .4).Ok);
        var card = Card();
        Assert.Equal([true, true, false], card.Fixtures.Select(f => f.Lumens > 0));
        Assert.Equal([true, true, false], card.Fixtures.Select(f => f.Colour is { Length: 7 }));
        Assert.Equal(0, card.ColourSpread!.Value, .01);
        var dimmer = card.Attributes.Single(a => a.Name == "Dimmer");
        Assert.Equal((3, 0.0, 1.0, true), (dimmer.Fixtures, dimmer.Low, dimmer.High, dimmer.AsIf));
        Assert.Equal("100 %", dimmer.To);
        Assert.Equal(three.Min(f => f.At[0]), card.Low[0], .7f);
        Assert.Equal(three.Max(f => f.At[0]), card.High[0], .7f);
        Assert.InRange(card.High[0] - card.Low[0], .3f, 30f);
    }
}
