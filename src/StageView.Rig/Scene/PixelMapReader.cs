using System.Numerics;
using System.Text;
using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Reads the <c>maps</c> of a rig; fixture names are resolved once all fixtures are known.</summary>
internal static class PixelMapReader
{
    private const int MaxBytes = 64 << 20;

    public static PixelMapPlan Read(SourceNode m, string folder, SceneBuild build)
    {
        var kind = m.TextOr("kind") switch
        {
            "curve" => PixelMapKind.Curve,
            "grid" => PixelMapKind.Grid,
            "byHand" => PixelMapKind.ByHand,
            _ => PixelMapKind.Flat,
        };
        Needs(m, kind == PixelMapKind.Flat, build, "corner", "across", "down");
        Needs(m, kind == PixelMapKind.ByHand, build, "file");
        var (across, down) = (m.VectorOr("across", Vector3.UnitX), m.VectorOr("down", -Vector3.UnitZ));
        if (Vector3.Cross(across, down).Length() < 1e-6f)
        {
            build.Problems.Error(m, "\"across\" and \"down\" must span a rectangle: neither zero nor along one line");
        }

        return new PixelMapPlan
        {
            Name = m.TextOr("name"),
            Kind = kind,
            Corner = m.VectorOr("corner", default),
            Across = across,
            Down = down,
            Columns = m.IntegerOr("columns", 1),
            Rows = m.IntegerOr("rows", 1),
            Order = m.TextOr("order") switch
            {
                "rowsSerpentine" => PixelPath.RowsSerpentine,
                "columns" => PixelPath.Columns,
                "columnsSerpentine" => PixelPath.ColumnsSerpentine,
                _ => PixelPath.Rows,
            },
            QuarterTurns = m.TextOr("turn") switch { "90" => 1, "180" => 2, "270" => 3, _ => 0 },
            Mirrored = m.FlagOr("mirrored", false),
            ByHand = kind == PixelMapKind.ByHand && m.Get("file") is { } file ? Rows(file, Path.GetFullPath(Path.Combine(folder, file.Text)), build) : [],
            Source = m.Place,
        };
    }

    /// <summary>The maps with their fixtures.</summary>
    public static IReadOnlyList<PixelMapPlan> Resolve(IReadOnlyList<Fixture> fixtures, SceneBuild build)
    {
        var maps = new List<PixelMapPlan>();
        foreach (var (map, at) in build.PixelMaps)
        {
            var found = at.Has("fixtures") ? ContentReader.Named(at, fixtures, build) : [.. fixtures.Select(f => f.Index)];
            found = [.. found.Where(f => fixtures[f.Value].Mode.Geometry.Any(g => g.Pixels is not null))];
            if (map.Kind == PixelMapKind.Grid && found.Count > (long)map.Columns * map.Rows)
            {
                build.Problems.Error(at, $"a grid of {map.Columns} x {map.Rows} has no place for {found.Count} fixtures with pixels");
            }

            if (maps.Exists(m => m.Name == map.Name))
            {
                build.Problems.Error(at, $"two maps are named \"{map.Name}\"");
            }

            maps.Add(map with { Fixtures = found });
        }

        return maps;
    }

    private static void Needs(SourceNode m, bool needs, SceneBuild build, params string[] keys)
    {
        foreach (var key in keys)
        {
            if (needs && !m.Has(key))
            {
                build.Problems.Error(m, $"a map of this kind needs \"{key}\"");
            }
        }
    }

    private static IReadOnlyList<PixelMapRow> Rows(SourceNode at, string path, SceneBuild build)
    {
        if (!build.Assets.Files.Has(path, SourceFileKind.PixelMap))
        {
            build.Problems.Error(at, $"{path} does not exist");
            return [];
        }

        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why))
        {
            build.Problems.Error(at, $"{path}: {why}");
            return [];
        }

        if (PixelMapCsv.TryRead(Encoding.UTF8.GetString(bytes), SceneBounds.MaxPixels, out var rows, out why))
        {
            return rows;
        }

        build.Problems.Error(at, $"{path}, {why}");
        return [];
    }
}
