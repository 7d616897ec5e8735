using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Stage;
using StageView.Stage.Content;

namespace StageView.Show.Content;

/// <summary>The fixed maps by which the contents of a rig are placed, or by which surfaces hold.</summary>
/// <param name="rig">The rig.</param>
public sealed class ContentMaps(RigScene rig)
{
    private IReadOnlyList<PixelSurface>? _rest;

    /// <summary>Of one content; null where it is thrown and nothing holds.</summary>
    public PixelMap? Of(ContentPlacement placement)
    {
        ArgumentNullException.ThrowIfNull(placement);
        if (placement.Map is null && placement.FacingAway != FacingAway.Hold)
        {
            return null;
        }

        _rest ??= StageModel.SurfacesAtRest(rig);
        return placement.Map is { } name ? PixelMap.Of(rig, rig.PixelMaps.First(m => m.Name == name), _rest) : PixelMap.Of(rig, placement, _rest);
    }
}
