using StageView.Stage.State;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Questions;

/// <summary>What one source says of one channel.</summary>
/// <param name="Source">At the channel's most significant byte.</param>
/// <param name="Raw">Its value in the channel's resolution; null where it doesn't source every byte.</param>
public sealed record ChannelSource(AddressSource Source, long? Raw);

/// <summary>Who drives one channel of a fixture.</summary>
/// <param name="Sources">All that are known in its universe; empty for a virtual channel, and where levels are no network's.</param>
/// <param name="IsSplit">Whether its bytes are won by different sources, so that its value is nobody's.</param>
public sealed record ChannelDrive(IReadOnlyList<ChannelSource> Sources, bool IsSplit)
{
    /// <summary>Nobody known.</summary>
    public static ChannelDrive None { get; } = new([], false);

    /// <summary>Whether sources of the highest priority send it different levels.</summary>
    public bool IsFought => Sources.Any(s => s.Source.Fights);

    /// <summary>Whether there is nothing to tell but who sends it.</summary>
    public bool IsPlain => Sources.Count < 2 && !IsSplit && Sources.All(s => s.Source.Wins && s.Source.Standing == SourceStanding.Live);

    /// <summary>What is the same of neighbouring channels: sources and what became of them, without levels and times.</summary>
    public bool IsLike(ChannelDrive other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return IsSplit == other.IsSplit && Sources.Select(Bare).SequenceEqual(other.Sources.Select(Bare));
    }

    private static AddressSource Bare(ChannelSource s) => s.Source with { Level = null, SecondsSinceSeen = 0 };
}

/// <summary>Who drives the channels of a fixture.</summary>
public static class DriveQuestion
{
    /// <param name="channels">The fixture's channels.</param>
    /// <param name="sourcesOf">Who says what of addresses, in their order; an empty list for one that nobody sends.</param>
    /// <returns>One for each channel, in their order.</returns>
    public static IReadOnlyList<ChannelDrive> Of(
        IReadOnlyList<AttributeState> channels, Func<IReadOnlyList<UniverseAddress>, IReadOnlyList<IReadOnlyList<AddressSource>>> sourcesOf)
    {
        ArgumentNullException.ThrowIfNull(channels);
        ArgumentNullException.ThrowIfNull(sourcesOf);
        var all = sourcesOf([.. channels.SelectMany(c => c.Addresses)]);
        var drives = new ChannelDrive[channels.Count];
        for (var (i, next) = (0, 0); i < drives.Length; i++)
        {
            var bytes = channels[i].Addresses.Count;
            drives[i] = bytes == 0 ? ChannelDrive.None : Of([.. all.Skip(next).Take(bytes)]);
            next += bytes;
        }

        return drives;
    }

    /// <param name="bytes">The sources of each byte, the most significant first.</param>
    private static ChannelDrive Of(IReadOnlyList<IReadOnlyList<AddressSource>> bytes)
    {
        var sources = bytes[0].Select(first =>
        {
            // A channel that runs over a universe's end may have other sources there.
            var mine = bytes.Select(b => b.FirstOrDefault(s => s.Id == first.Id)?.Level).ToList();
            return new ChannelSource(
                first with { Fights = first.Fights || bytes.Any(b => b.Any(s => s.Fights && s.Id == first.Id)) },
                mine.Contains(null) ? null : mine.Aggregate(0L, (raw, level) => (raw << 8) | (long)level!.Value));
        });
        var winners = bytes.Select(b => b.Where(s => s.Wins).Select(s => s.Id).ToHashSet()).ToList();
        return new ChannelDrive([.. sources], winners.Skip(1).Any(w => !w.Overlaps(winners[0]) && w.Count + winners[0].Count > 0));
    }
}
