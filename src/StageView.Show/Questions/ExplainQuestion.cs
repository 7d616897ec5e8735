using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage.Looks;
using StageView.Stage.State;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Questions;

/// <summary>What is to be explained: a fixture, an address, or an address and the fixture that uses it.</summary>
public sealed record ExplainAsked(Fixture? Fixture, UniverseAddress? Address)
{
    /// <summary>Reads <c>universe.address</c>, or a fixture's name or number.</summary>
    /// <exception cref="StopException">Neither.</exception>
    public static ExplainAsked Read(RigScene rig, string text)
    {
        if (UniverseAddress.TryParse(text, out var address))
        {
            return new ExplainAsked(new PatchLookup(rig).At(address) is [var first, ..] ? first : null, address);
        }

        return FixtureSelection.TryFind(rig, text, out var found, out var why)
            ? new ExplainAsked(found[0], null)
            : throw StopException.Wrong(
                $"{text} is neither a universe.address (universes go from 1 to {UniverseNumber.Highest}, addresses from 1 to 512) nor a fixture: {why}");
    }
}

/// <summary>Who sends to an address.</summary>
public sealed record AddressSenders(UniverseAddress Address, IReadOnlyList<AddressSource> Senders);

/// <summary>What a fixture or an address does at a time, and why.</summary>
/// <param name="Asked">The question.</param>
/// <param name="At">Show time.</param>
/// <param name="Senders">Who sends: to the address asked for, else to the first that the fixture uses in each of its universes.</param>
/// <param name="State">What the fixture does, or null where no fixture has the address.</param>
/// <param name="Pixel">What the address is of a pixel, or null.</param>
/// <param name="Drives">Who drives each channel of the fixture, in the order of its state.</param>
public sealed record ExplainAnswer(
    ExplainAsked Asked, TimeSpan At, IReadOnlyList<AddressSenders> Senders, FixtureState? State, PixelPlace? Pixel, IReadOnlyList<ChannelDrive> Drives);

/// <summary>Explains a level, from the source that won to what the beam does.</summary>
public static class ExplainQuestion
{
    /// <summary>How long the shutter is open for dimmers and strobes.</summary>
    private static readonly TimeSpan Shutter = TimeSpan.FromSeconds(.02);

    /// <param name="source">Where levels come from; it is fed up to the time.</param>
    /// <param name="time">Show time.</param>
    /// <param name="asked">What is to be explained.</param>
    public static ExplainAnswer Answer(ShowSource source, TimeSpan time, ExplainAsked asked)
    {
        source.FeedTo(time);
        var (fixture, address) = (asked.Fixture, asked.Address);
        var state = fixture is null ? null : source.Stage.StateOf(fixture.Index, time, Shutter);
        UniverseAddress[] addresses = address is { } one
            ? [one]
            : [.. state!.Attributes.SelectMany(x => x.Addresses).Concat(fixture!.Patch.Select(p => p.Start)).OrderBy(x => x.Absolute)
                .DistinctBy(x => x.Universe)];
        return new ExplainAnswer(
            asked, time, [.. addresses.Select(x => new AddressSenders(x, source.SourcesOf(x)))], state,
            address is { } p && fixture is not null ? source.Stage.PixelOf(fixture.Index, p, time, Shutter) : null,
            state is null ? [] : DriveQuestion.Of(state.Attributes, source.SourcesOf));
    }
}
