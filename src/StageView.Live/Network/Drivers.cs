using StageView.Live.Terms;
using StageView.Show.Questions;
using StageView.Wire.Health;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Live.Network;

/// <summary>Who drives a fixture's channels, as lines of its card. What is the same of many channels is told once.</summary>
internal static class Drivers
{
    /// <param name="card">With the channels as the stage has them.</param>
    /// <param name="sourcesOf">Who says what of addresses, in their order.</param>
    public static FixtureCard On(FixtureCard card, Func<IReadOnlyList<UniverseAddress>, IReadOnlyList<IReadOnlyList<AddressSource>>> sourcesOf)
    {
        var drives = DriveQuestion.Of(card.States, sourcesOf);
        var told = new List<ChannelDrive>();
        var asIf = card.AsIf.ToHashSet();
        var channels = card.Channels.Zip(drives, (line, drive) =>
        {
            if (drive.Sources.Count == 0)
            {
                return line;
            }

            var place = told.FindIndex(drive.IsLike);
            if (place < 0)
            {
                place = told.Count;
                told.Add(drive);
            }

            return line with { Drive = place, Sent = drive.Sources.Count > 1 || asIf.Contains(line.Name) ? [.. drive.Sources.Select(s => s.Raw)] : null };
        }).ToList();
        return card with
        {
            Channels = channels,
            Drives = [.. told.Select(d => new DriveLine(d.IsFought, d.IsSplit, [.. d.Sources.Select(s => Line(s.Source))]))],
        };
    }

    private static DriverLine Line(AddressSource s) => new(
        s.Name.Length > 0 ? s.Name : s.Host, s.Host, s.Protocol == SourceProtocol.ArtNet ? "Art-Net" : "sACN", s.Priority, s.PerAddressPriority, s.Wins,
        s.Fights, FindingWords.Fate(s));
}
