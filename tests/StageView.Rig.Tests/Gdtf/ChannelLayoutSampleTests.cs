using System.Globalization;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>
/// A hand-written GDTF with its published channel layout and three broken siblings: Firionus/opengdtf at 8103c30, MIT. Read from
/// beside the checkout where present, never copied into it.
/// </summary>
public sealed class ChannelLayoutSampleTests
{
    private static string Sample(string name)
    {
        var path = Path.GetFullPath(Path.Combine(Repo.Root, "..", "shared", "data", "channel-layout", name));
        Assert.SkipUnless(File.Exists(path), $"the sample {name} (Firionus/opengdtf, channel layout test) is not beside this checkout");
        return path;
    }

    [Fact]
    public void The_sample_gives_exactly_its_published_layout()
    {
        var profile = GdtfReading.Read(File.ReadAllBytes(Sample("layout.gdtf")), out var problems);
        Assert.True(profile is not null, string.Join('\n', problems));
        var mode = Assert.Single(profile.Modes);
        var ours = new Dictionary<string, string>();
        foreach (var c in mode.Channels)
        {
            for (var i = 0; i < c.Offsets.Count; i++)
            {
                var part = c.Offsets.Count > 1 ? string.Create(CultureInfo.InvariantCulture, $" ({i + 1}/{c.Offsets.Count})") : "";
                ours.Add(string.Create(CultureInfo.InvariantCulture, $"{c.Break}.{c.Offsets[i]}"), c.Name + part);
            }
        }

        // "1.3 Element 1 -> AbstractElement_Pan" is the channel "Element 1_Pan" here; a line without a name is a free address.
        var published = new Dictionary<string, string>();
        foreach (var line in File.ReadAllLines(Sample("expected_channel_layout.md"))
            .Where(l => l.StartsWith("1.", StringComparison.Ordinal) || l.StartsWith("2.", StringComparison.Ordinal)))
        {
            var space = line.IndexOf(' ', StringComparison.Ordinal);
            if (space > 0 && line[(space + 1)..].Trim() is { Length: > 0 } name)
            {
                published.Add(line[..space], name.Replace(" -> AbstractElement_", "_", StringComparison.Ordinal));
            }
        }

        Assert.Equal(18, published.Count);
        Assert.Equal(published.OrderBy(p => p.Key), ours.OrderBy(p => p.Key));
        Assert.Equal([11, 9], mode.Footprints);
    }

    [Theory]
    [InlineData("clash.gdtf", "Main_Dimmer and Element 1_Pan both use 1.3")]
    [InlineData("empty.gdtf", "empty")]
    [InlineData("missing-break.gdtf", "no Break for DMX break 2")]
    public void Its_broken_siblings_get_their_own_refusals(string name, string says)
    {
        Assert.Null(GdtfReading.Read(File.ReadAllBytes(Sample(name)), out var problems));
        Assert.Contains(problems, p => p.ToString().Contains(says, StringComparison.Ordinal));
    }
}
