using StageView.Render.Output;

namespace StageView.Render.Settings;

/// <summary>What came of one frame.</summary>
/// <param name="Screen">The picture for a screen, or null when it wasn't asked for.</param>
/// <param name="Linear">The picture in cd/m², or null when it wasn't asked for.</param>
/// <param name="Ev100">The exposure used.</param>
public sealed record RenderedFrame(PixelImage? Screen, LinearImage? Linear, float Ev100)
{
    /// <summary>What a bound left out of it, a text each; said on <see cref="Screen"/>, too.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];
}
