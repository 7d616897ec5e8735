using System.Globalization;
using System.Text;
using StageView.Ground.Files;
using StageView.Light.Grids;
using StageView.Render.Aids;
using StageView.Render.Output;
using StageView.Rig.Pieces;
using StageView.Show.Frames;
using StageView.Show.Questions;

namespace StageView.App.Printing;

/// <summary>Measured areas as files: a heat map (PNG), isolux lines (SVG) and the points (CSV) of each.</summary>
internal static class LuxFiles
{
    /// <summary>Writes them into a folder.</summary>
    /// <returns>What was written.</returns>
    public static IReadOnlyList<string> Write(RigScene rig, LuxAnswer answer, string folder)
    {
        var files = new List<string>();
        foreach (var (place, map) in answer.Areas)
        {
            Directory.CreateDirectory(folder);
            var stem = Slashes.Join(folder, FrameNames.Slug(place));
            var title = $"{rig.Name}: {place}, {answer.Asked.Measure}";
            PngPicture.Write(stem + ".png", LuxMapPicture.Draw(map, title));
            WholeFile.WriteText(stem + ".svg", LuxSvg.Write(map, title));
            WholeFile.WriteText(stem + ".csv", Points(map));
            files.AddRange([stem + ".png", stem + ".svg", stem + ".csv"]);
        }

        return files;
    }

    private static string Points(LuxMap map)
    {
        var csv = new StringBuilder(map.Indirect is null ? "x,y,z,lux\n" : "x,y,z,lux,indirect\n");
        for (var i = 0; i < map.Lux.Length; i++)
        {
            var p = map.Grid.Point(i % map.Grid.CountU, i / map.Grid.CountU);
            csv.Append(CultureInfo.InvariantCulture, $"{p.X:0.####},{p.Y:0.####},{p.Z:0.####},{map.Lux[i]:0.###}");
            csv.Append(map.Indirect is { } indirect ? string.Create(CultureInfo.InvariantCulture, $",{indirect[i]:0.###}\n") : "\n");
        }

        return csv.ToString();
    }
}
