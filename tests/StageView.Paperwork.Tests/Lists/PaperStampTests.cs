using StageView.Ground.Drawings;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Lists;

/// <summary>Every sheet and file says whose it is, for where, of when and from what.</summary>
public sealed class PaperStampTests : IDisposable
{
    private const string Tour = """
        { "name": "Long Road", "hangs": [{ "name": "head", "profile": "spot-head", "row": { "from": [-2, 0, 6], "to": [2, 0, 6], "count": 3 },
          "patch": "1.1" }] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private RigScene Load(string tour, string? venue)
    {
        var options = TempRig.WithAssets with { Venue = venue is null ? null : _temp.Write("v.venue.jsonc", venue) };
        Assert.True(RigLoader.TryLoad(_temp.Write("t.rig.jsonc", tour), options, out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }

    [Fact]
    public void Each_sheet_list_and_drawing_carries_tour_venue_date_and_hash()
    {
        var rig = Load(Tour, """{ "name": "Low House" }""");
        var stamp = PaperStamp.Of(rig, "first draft");
        Assert.Equal(("Long Road", "Low House", "first draft"), (stamp.Tour, stamp.Venue, stamp.Date));
        Assert.Matches("^[0-9a-f]{8}$", stamp.Hash);
        string[] all = ["Long Road", "Low House", "first draft", stamp.Hash];
        var tables = PaperTables.All(rig);
        foreach (var page in RigDrawings.All(rig, stamp).Concat(TablePages.Lay(stamp, tables)))
        {
            var text = string.Join('\n', page.Shapes.Select(s => s.Text));
            Assert.All(all, a => Assert.Contains(a, text, StringComparison.Ordinal));
            Assert.All(all, a => Assert.Contains(a, SvgWriter.Write(page), StringComparison.Ordinal));
        }

        // A list printed by itself has it under its own heading.
        Assert.Equal(tables.Count + 1, TableWriters.Html(stamp, tables).Split(stamp.Line).Length - 1);
        Assert.All(tables, t => Assert.Contains(stamp.Line, TableWriters.Csv(stamp.On(t)), StringComparison.Ordinal));
    }

    [Fact]
    public void The_hash_is_of_what_the_files_hold_wherever_they_lie()
    {
        using var other = new TempRig();
        string Hash(string tour, string? venue) => PaperStamp.Of(Load(tour, venue), "").Hash;
        var first = Hash(Tour, null);
        Assert.True(RigLoader.TryLoad(other.Write("t.rig.jsonc", Tour), TempRig.WithAssets, out var elsewhere, out _));
        Assert.Equal(first, PaperStamp.Of(elsewhere, "another day").Hash);
        var hashes = new[]
        {
            first, Hash(Tour + " // a word", null), Hash(Tour, """{ "name": "Low House" }"""), Hash(Tour, """{ "name": "Low House", "remove": ["head 2"] }"""),
        };
        Assert.Equal(hashes.Length, hashes.Distinct().Count());
    }

    [Fact]
    public void Without_a_venue_nothing_stands_in_its_place() =>
        Assert.Equal("Long Road; 2 May, made from files 0badcafe", new PaperStamp("Long Road", "", "2 May", "0badcafe").Line);
}
