using StageView.Light.Scans;

namespace StageView.Light.Cautions.Lasers.Ilda;

/// <summary>A point of a frame.</summary>
/// <param name="X">-32768 (left) to 32767 (right).</param>
/// <param name="Y">-32768 (bottom) to 32767 (top).</param>
/// <param name="Z">-32768 to 32767; 0 in flat frames.</param>
/// <param name="Blanked">The laser is off on the way to this point.</param>
/// <param name="Rgb">Colour, 0xRRGGBB.</param>
public readonly record struct IldaPoint(short X, short Y, short Z, bool Blanked, int Rgb);

/// <summary>One frame.</summary>
public sealed record IldaFrame
{
    public required string Name { get; init; }

    public required string Company { get; init; }

    /// <summary>Number of the frame as the file counts.</summary>
    public required int Number { get; init; }

    public required int Projector { get; init; }

    public required IReadOnlyList<IldaPoint> Points { get; init; }

    /// <summary>The frame as a scan.</summary>
    /// <param name="widthRadians">Full angle between x at its ends, rad.</param>
    /// <param name="heightRadians">Full angle between y at its ends, rad.</param>
    /// <param name="pointsPerSecond">1/s; the file doesn't say.</param>
    /// <param name="fullPower">Every lit point has all of the power, whatever its colour: on the cautious side, as the file doesn't say what its colours
    /// mean in watts.
    /// Otherwise the largest of red, green and blue is the share.</param>
    public LaserScan ToScan(float widthRadians, float heightRadians, double pointsPerSecond, bool fullPower = true) => new(
        Name.Length > 0 ? Name : $"frame {Number}",
        pointsPerSecond,
        [.. Points.Select(p => new ScanPoint(p.X / 32768f * widthRadians / 2, p.Y / 32768f * heightRadians / 2, Share(p, fullPower)))]);

    private static float Share(in IldaPoint p, bool fullPower)
    {
        var most = Math.Max((p.Rgb >> 16) & 255, Math.Max((p.Rgb >> 8) & 255, p.Rgb & 255));
        return p.Blanked || most == 0 ? 0 : fullPower ? 1 : most / 255f;
    }
}

/// <summary>What an ILDA file says.</summary>
/// <param name="Frames">By their order in the file.</param>
/// <param name="Notes">What was assumed or left out, one sentence each.</param>
public sealed record IldaFile(IReadOnlyList<IldaFrame> Frames, IReadOnlyList<string> Notes);

/// <summary>Why bytes are no ILDA file.</summary>
/// <param name="Offset">Byte of the file.</param>
/// <param name="Text">One sentence.</param>
public readonly record struct IldaRefusal(int Offset, string Text)
{
    public override string ToString() => $"byte {Offset}: {Text}";
}
