using StageView.Stage.Looks;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Looks;

public sealed class FixtureSelectionTests
{
    private static readonly string[] Groups = ["spots", "Left", "12", "all-round"];

    /// <summary>Names that are other fixtures' numbers, numbers twice and with letters, groups in other cases, ranges with gaps.</summary>
    [Fact]
    public void Words_and_ranges_mean_what_looking_at_every_fixture_finds()
    {
        var random = new Random(5);
        var rig = Scene([.. Enumerable.Range(0, 60).Select(i => LookTests.Rgbw(0) with
        {
            Index = new(i),
            Name = i % 9 == 0 ? $"{i + 3}" : $"Head {i}",
            Number = i % 7 == 0 ? "" : i % 11 == 0 ? $"{i}A" : $"{random.Next(40)}",
            Groups = [.. Groups.Where(_ => random.Next(3) == 0)],
        })]);
        foreach (var word in new[] { "all", "ALL", "SPOTS", "left", "head 5", "12", "12-19", "0-200", "31-30", "39-39", "11a", "all-round",
            "spots, 3-9, head 5", "3,4" })
        {
            var wanted = word.Split(',', StringSplitOptions.TrimEntries).SelectMany(part =>
            {
                var means = rig.Fixtures.Where(f => part.Equals("all", StringComparison.OrdinalIgnoreCase)
                    || f.Groups.Append(f.Name).Append(f.Number).Any(w => w.Equals(part, StringComparison.OrdinalIgnoreCase))).ToList();
                var ends = part.Split('-');
                return means.Count > 0 || ends.Length != 2 || !int.TryParse(ends[0], out var from) || !int.TryParse(ends[1], out var to) ? means
                    : rig.Fixtures.Where(f => int.TryParse(f.Number, out var n) && n >= from && n <= to);
            }).Select(f => f.Index).Distinct().Order().ToList();
            Assert.Equal(wanted.Count > 0, FixtureSelection.TryFind(rig, word, out var found, out var why));
            Assert.Equal(wanted, found.Select(f => f.Index));
            Assert.Equal(wanted.Count > 0, why.Length == 0);
        }
    }
}
