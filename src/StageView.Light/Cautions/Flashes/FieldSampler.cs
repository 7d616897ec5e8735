using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// What an eye sees of a moment, as the mean luminance of each cell of its field: lit surfaces (matt, by their albedo), lenses that shine at it direct and in
/// mirrors, pixel surfaces and globes, and the light that haze scatters towards it.
/// </summary>
/// <remarks>
/// Lenses, pixels and globes put the light they send to the eye into the cells they lie in, so none is too small to be seen; lit surfaces and haze are read
/// along rays through the middles of groups of cells. Haze is read without shadows, on the bright side. Left out: light
/// between matt surfaces, lasers' rays in haze, pixel surfaces in mirrors.
/// </remarks>
public sealed class FieldSampler
{
    /// <param name="grid">The field of an eye or a lens.</param>
    /// <param name="group">Lit surfaces and haze are read once for so many cells across and down.</param>
    /// <param name="haze">Whether light in haze counts.</param>
    public FieldSampler(FieldGrid grid, int group = 2, bool haze = true)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentOutOfRangeException.ThrowIfLessThan(group, 1);
        if (grid.Directions.IsEmpty)
        {
            throw new ArgumentException("such a picture has no directions: take an eye's field or a lens's", nameof(grid));
        }

        (Grid, Group, Haze) = (grid, group, haze);
    }

    public FieldGrid Grid { get; }

    /// <summary>Lit surfaces and haze are read once for so many cells across and down.</summary>
    public int Group { get; }

    /// <summary>Whether light in haze counts.</summary>
    public bool Haze { get; }

    /// <summary>Mean luminance of each cell, linear Rec.709 in cd/m².</summary>
    /// <param name="meter">The moment.</param>
    /// <param name="scene">What is looked at and stands in the way.</param>
    /// <param name="eye">m.</param>
    /// <param name="forward">Where it looks.</param>
    /// <param name="up">Which way is up, not along <paramref name="forward"/>.</param>
    /// <param name="cells">One a cell.</param>
    public void Sample(LightMeter meter, OcclusionScene scene, Vector3 eye, Vector3 forward, Vector3 up, Span<Vector3> cells)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(scene);
        if (cells.Length != Grid.Cells)
        {
            throw new ArgumentException($"room for {cells.Length} luminances, the field has {Grid.Cells} cells", nameof(cells));
        }

        var field = new SeenField(this, eye, forward, up);
        field.Read(meter, scene, MomentKeys.Of(meter.Moment));
        field.Cells.CopyTo(cells);
    }
}
