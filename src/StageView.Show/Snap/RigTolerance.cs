using System.IO.Enumeration;
using StageView.Rig.Pieces;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;

namespace StageView.Show.Snap;

/// <summary>What the rig file says may differ in a frame.</summary>
internal static class RigTolerance
{
    /// <summary>
    /// The rules that hold for a frame, laid over each other and over what it will be compared with; null when there is none. Masks are copied into the
    /// frames' folder.
    /// </summary>
    public static TolerancePart? For(RigScene rig, string frame, BaselineStore store, RendererMatch? renderer)
    {
        var sum = renderer is null ? null : new TolerancePart { Renderer = renderer };
        foreach (var rule in rig.Compare.Where(r => FileSystemName.MatchesSimpleExpression(r.Frames, frame)))
        {
            sum ??= new TolerancePart();
            sum = sum with
            {
                Levels = rule.Levels ?? sum.Levels,
                BlockLevels = rule.BlockLevels ?? sum.BlockLevels,
                ChangedShare = rule.ChangedShare ?? sum.ChangedShare,
                ForgiveEdges = rule.ForgiveEdges ?? sum.ForgiveEdges,
                Mask = rule.Mask is { } mask ? store.SaveMask(mask) : sum.Mask,
                Regions = rule.Areas.Count == 0 ? sum.Regions :
                [
                    .. sum.Regions ?? [],
                    .. rule.Areas.Select(a => new CompareRegion
                    {
                        Name = a.Name, Left = a.Left, Top = a.Top, Width = a.Width, Height = a.Height, Ignore = a.Ignore, Levels = a.Levels,
                    }),
                ],
            };
        }

        return sum;
    }
}
