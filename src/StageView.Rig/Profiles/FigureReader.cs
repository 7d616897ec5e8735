using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Cautions.Lasers.Ilda;
using StageView.Light.Geometry;
using StageView.Light.Scans;
using StageView.Rig.Assets;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Reads what a laser draws: a shape by its angles, or a frame of an ILDA file. What is written twice is kept once.</summary>
/// <param name="assets">Where figures are kept.</param>
/// <param name="file">The profile.</param>
/// <param name="problems">Told what can't be used.</param>
internal sealed class FigureReader(RigAssets assets, string file, ProblemList problems)
{
    private const int MaxBytes = 16 << 20;

    /// <summary>1-based place in the figures; 0 with a problem noted.</summary>
    public int Read(SourceNode figure)
    {
        if (Scan(figure) is not { } scan)
        {
            return 0;
        }

        var same = assets.Scans.FindIndex(s => s.Name == scan.Name && s.PointsPerSecond == scan.PointsPerSecond && s.Points.SequenceEqual(scan.Points));
        if (same < 0)
        {
            assets.Scans.Add(scan);
        }

        return same < 0 ? assets.Scans.Count : same + 1;
    }

    private LaserScan? Scan(SourceNode figure)
    {
        var rate = figure.NumberOr("rate", 30_000);
        var angle = Angles.Radians(figure.NumberOr("angle", 0));
        if (figure.Has("shape") == figure.Has("file"))
        {
            problems.Error(figure, "a figure has either a \"shape\" or a \"file\"");
            return null;
        }

        var points = figure.IntegerOr("points", 200);
        var scan = figure.Get("file") is { } named ? OfFile(figure, named, angle, rate) : figure.TextOr("shape") switch
        {
            "circle" => LaserScan.Circle(angle, points, rate),
            "line" => LaserScan.Line(angle, points, rate),
            _ => LaserScan.Fan(angle, figure.IntegerOr("rays", 9), figure.IntegerOr("rest", 10), figure.IntegerOr("travel", 5), rate),
        };
        return scan is null ? null : Turned(scan, Angles.Radians(figure.NumberOr("turn", 0)));
    }

    private LaserScan? OfFile(SourceNode figure, SourceNode named, float angle, float rate)
    {
        if (!SafePath.TryInside(Path.GetDirectoryName(Path.GetFullPath(file))!, named.Text, out var full)
            || !assets.Files.Has(full, SourceFileKind.Figure))
        {
            problems.Error(named, $"no ILDA file {named.Text} beside this file");
            return null;
        }

        if (new FileInfo(full).Length > MaxBytes)
        {
            problems.Error(named, $"{named.Text} is larger than {MaxBytes >> 20} MiB");
            return null;
        }

        if (!IldaReader.TryParse(File.ReadAllBytes(full), out var ilda, out var why) || ilda is null)
        {
            problems.Error(named, $"{named.Text}: {why}");
            return null;
        }

        foreach (var note in ilda.Notes)
        {
            problems.Warn(named, $"{named.Text}: {note}");
        }

        var frame = figure.IntegerOr("frame", 1);
        if (frame > ilda.Frames.Count)
        {
            problems.Error(figure.Get("frame") ?? named, $"frame {frame}: {named.Text} has {ilda.Frames.Count}");
            return null;
        }

        if (ilda.Frames.Count > 1 && !figure.Has("frame"))
        {
            problems.Warn(named, $"{named.Text} has {ilda.Frames.Count} frames: the first is drawn; \"frame\" chooses another");
        }

        return ilda.Frames[frame - 1].ToScan(angle, angle, rate);
    }

    private static LaserScan Turned(LaserScan scan, float by)
    {
        if (by == 0)
        {
            return scan;
        }

        var (sin, cos) = Trig.SinCos(by);
        var turn = new Matrix3x2(cos, sin, -sin, cos, 0, 0);
        return new LaserScan(scan.Name, scan.PointsPerSecond, [.. scan.Points.Select(p =>
        {
            var d = Vector2.Transform(p.Direction, turn);
            return new ScanPoint(d.X, d.Y, p.Share);
        })]);
    }
}
