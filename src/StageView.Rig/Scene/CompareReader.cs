using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads the <c>compare</c> rules of a rig.</summary>
internal static class CompareReader
{
    public static CompareRule Read(SourceNode c, string folder, SceneBuild build)
    {
        string? mask = null;
        if (c.Has("mask"))
        {
            mask = Path.GetFullPath(Path.Combine(folder, c.TextOr("mask")));
            if (!build.Assets.Files.Has(mask, SourceFileKind.Mask))
            {
                build.Problems.Error(c.Get("mask")!, $"no picture {c.TextOr("mask")} (from {folder})");
            }
        }

        return new CompareRule
        {
            Frames = c.TextOr("frames", "*"),
            Levels = Whole(c, "levels"),
            BlockLevels = c.Has("blockLevels") ? c.NumberOr("blockLevels", 0) : null,
            ChangedShare = c.Has("changedShare") ? c.NumberOr("changedShare", 0) : null,
            ForgiveEdges = c.Has("edges") ? c.TextOr("edges") == "forgive" : null,
            Mask = mask,
            Areas = [.. c.ListOf("regions").Select(r => Area(r, build.Problems))],
        };
    }

    private static CompareArea Area(SourceNode r, ProblemList problems)
    {
        var area = new CompareArea(
            r.TextOr("name"), r.NumberOr("left", 0), r.NumberOr("top", 0), r.NumberOr("width", 0), r.NumberOr("height", 0), r.FlagOr("ignore", false),
            Whole(r, "levels"));
        if (area.Left + area.Width > 1.0001 || area.Top + area.Height > 1.0001 || area.Width <= 0 || area.Height <= 0)
        {
            problems.Error(r, $"region \"{area.Name}\" must lie inside the frame: left + width and top + height at most 1, width and height above 0");
        }

        return area;
    }

    private static int? Whole(SourceNode node, string key) => node.Has(key) ? node.IntegerOr(key, 0) : null;
}
