using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>What the reading aids are painted from; all of the same moment and camera.</summary>
public sealed record AidInput
{
    public required Moment Moment { get; init; }

    public required Camera Camera { get; init; }

    /// <summary>By fixture index.</summary>
    public IReadOnlyList<AidFixture> Fixtures { get; init; } = [];

    /// <summary>Where beams land; those of beams that aren't in the list are drawn <see cref="AidPainter.OpenAxisMetres"/> long.</summary>
    public IReadOnlyList<Landing> Landings { get; init; } = [];

    /// <summary>The picture before exposure: the exposure ruler then counts what saturates.</summary>
    public LinearImage? Linear { get; init; }

    /// <summary>Needed by <see cref="ReadingAids.Illuminance"/>.</summary>
    public LuxImage? Lux { get; init; }

    /// <summary>Whether the picture shows a work light that isn't part of the show; it is then said on the picture.</summary>
    public bool WorkLight { get; init; }

    /// <summary>What a bound left out of the picture, a text each; it is then said on the picture.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];

    /// <summary>Whether the picture shows what matt surfaces throw on each other; it is then said on the picture.</summary>
    public bool Indirect { get; init; }
}
