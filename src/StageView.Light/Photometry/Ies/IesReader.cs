namespace StageView.Light.Photometry.Ies;

/// <summary>Reads ANSI/IES LM-63 files; the layout is in the README beside this file.</summary>
public static class IesReader
{
    /// <summary>Larger files are refused, bytes.</summary>
    public const int MostBytes = 8 << 20;

    private const int MostAngles = 4096;

    /// <summary>Reads a whole file.</summary>
    /// <param name="bytes">The file's bytes.</param>
    /// <param name="name">What to call the web.</param>
    /// <param name="file">What it says.</param>
    /// <param name="why">Why it could not be read.</param>
    public static bool TryParse(ReadOnlySpan<byte> bytes, string name, out PhotometricFile? file, out PhotometryRefusal why)
    {
        file = null;
        if (bytes.Length > MostBytes)
        {
            return Refuse(0, $"the file is larger than {MostBytes >> 20} MiB; photometric files are a few hundred KiB at most", out why);
        }

        var reader = new NumberReader(bytes);
        var keywords = new List<KeyValuePair<string, string>>();
        if (!TryHeader(ref reader, keywords, out var version, out var tilt, out why))
        {
            return false;
        }

        var notes = new List<string>();
        var tilts = new List<(double, double)>();
        if (!TryTilt(ref reader, tilt, tilts, out why))
        {
            return false;
        }

        Span<double> head = stackalloc double[13];
        ReadOnlySpan<string> fields =
        [
            "number of lamps", "lumens per lamp", "candela multiplier", "number of vertical angles", "number of horizontal angles",
            "photometric type", "units", "width", "length", "height", "ballast factor", "second factor", "watts",
        ];
        for (var i = 0; i < head.Length; i++)
        {
            if (!Number(ref reader, fields[i], out head[i], out why))
            {
                return false;
            }
        }

        var (vCount, hCount, type) = (head[3], head[4], head[5]);
        if (vCount is < 1 or > MostAngles || hCount is < 1 or > MostAngles || vCount != Math.Floor(vCount) || hCount != Math.Floor(hCount))
        {
            return Refuse(reader.Line, $"{head[3]} vertical and {head[4]} horizontal angles: both must be whole numbers from 1 to {MostAngles}", out why);
        }

        // Each candela needs a digit and a gap: a file that is too short for its counts is refused before anything is set aside.
        if (((vCount * hCount) + vCount + hCount) * 2 > reader.Left + 2)
        {
            return Refuse(reader.Line, $"the file ends before {vCount} × {hCount} candelas; it was cut short or its counts are wrong", out why);
        }

        if (type is not (1 or 2 or 3))
        {
            return Refuse(reader.Line, $"photometric type {type}: 1 (C), 2 (B) or 3 (A) expected", out why);
        }

        if (!Angles(ref reader, "vertical", (int)vCount, out var vertical, out why)
            || !Angles(ref reader, "horizontal", (int)hCount, out var horizontal, out why))
        {
            return false;
        }

        var factor = head[2] * head[10] * (version <= 1995 ? head[11] : 1) * (tilts.Count > 0 ? tilts[0].Item2 : 1);
        if (tilts.Count > 1)
        {
            notes.Add($"lamp output depends on tilt; the factor at {tilts[0].Item1}° is applied");
        }

        var candela = new double[(int)hCount][];
        for (var h = 0; h < candela.Length; h++)
        {
            candela[h] = new double[(int)vCount];
            for (var v = 0; v < candela[h].Length; v++)
            {
                if (!Number(ref reader, $"candela at horizontal {horizontal[h]}°, vertical {vertical[v]}°", out var value, out why))
                {
                    return false;
                }

                if (value < 0)
                {
                    return Refuse(reader.Line, $"candela {value} at horizontal {horizontal[h]}°, vertical {vertical[v]}° is below zero", out why);
                }

                candela[h][v] = value * factor;
            }
        }

        if (!IesSymmetry.TryExpand(type, vertical, horizontal, candela, notes, out var polar, out var azimuth, out var full, out var reason))
        {
            return Refuse(0, reason, out why);
        }

        if (!WebBuilder.TryBuild(name, polar, azimuth, full, out var web))
        {
            return Refuse(0, "all candelas are zero", out why);
        }

        file = new PhotometricFile
        {
            Web = web!,
            LampLumens = head[1] < 0 ? null : head[0] * head[1],
            Watts = head[12],
            Keywords = keywords,
            TiltFactors = tilts,
            Notes = notes,
        };
        return true;
    }

    private static bool TryHeader(ref NumberReader reader, List<KeyValuePair<string, string>> keywords, out int version, out string tilt,
        out PhotometryRefusal why)
    {
        version = 1986;
        tilt = "";
        why = default;
        for (var i = 0; i < 4096 && reader.TryLine(out var line); i++)
        {
            if (line.StartsWith("TILT=", StringComparison.OrdinalIgnoreCase))
            {
                tilt = line[5..].Trim();
                return true;
            }

            if (i == 0 && line.StartsWith("IES", StringComparison.OrdinalIgnoreCase))
            {
                var year = line[^Math.Min(4, line.Length)..];
                version = int.TryParse(year, out var y) ? y : line.EndsWith("91", StringComparison.Ordinal) ? 1991 : 1986;
            }
            else if (line.StartsWith('[') && line.IndexOf(']') is var close and > 0)
            {
                keywords.Add(new(line[1..close], line[(close + 1)..].Trim()));
            }
        }

        return Refuse(0, "no TILT= line: this is not an IES LM-63 file", out why);
    }

    private static bool TryTilt(ref NumberReader reader, string tilt, List<(double, double)> factors, out PhotometryRefusal why)
    {
        why = default;
        if (tilt.Equals("NONE", StringComparison.OrdinalIgnoreCase))
        {
            return true;
        }

        if (!tilt.Equals("INCLUDE", StringComparison.OrdinalIgnoreCase))
        {
            return Refuse(reader.Line - 1, $"TILT={tilt} points to another file, which is not followed: put its lines into this one under TILT=INCLUDE",
                out why);
        }

        if (!Number(ref reader, "lamp geometry", out _, out why) || !Number(ref reader, "number of tilt angles", out var pairs, out why))
        {
            return false;
        }

        if (pairs is < 1 or > 1000)
        {
            return Refuse(reader.Line, $"{pairs} tilt angles: 1 to 1000 expected", out why);
        }

        var angles = new double[(int)pairs];
        for (var i = 0; i < angles.Length; i++)
        {
            if (!Number(ref reader, "tilt angle", out angles[i], out why))
            {
                return false;
            }
        }

        foreach (var angle in angles)
        {
            if (!Number(ref reader, "tilt factor", out var f, out why))
            {
                return false;
            }

            factors.Add((angle, f));
        }

        return true;
    }

    private static bool Angles(ref NumberReader reader, string which, int count, out double[] angles, out PhotometryRefusal why)
    {
        why = default;
        angles = new double[count];
        for (var i = 0; i < count; i++)
        {
            if (!Number(ref reader, which + " angle", out angles[i], out why))
            {
                return false;
            }

            if (angles[i] is < -180 or > 360 || (i > 0 && angles[i] < angles[i - 1] + 0.001))
            {
                return Refuse(reader.Line, $"{which} angle {angles[i]}° must rise and lie between -180 and 360", out why);
            }
        }

        return true;
    }

    private static bool Number(ref NumberReader reader, string what, out double value, out PhotometryRefusal why)
    {
        why = default;
        return reader.TryNumber(out value, out var token)
            || Refuse(reader.Line, token.Length == 0 ? $"the file ends where the {what} should stand" : $"'{token}' stands where the {what} should", out why);
    }

    private static bool Refuse(int line, string reason, out PhotometryRefusal why)
    {
        why = new PhotometryRefusal(line, reason);
        return false;
    }
}
