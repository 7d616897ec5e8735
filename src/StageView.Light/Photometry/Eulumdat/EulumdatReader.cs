using System.Text;
using StageView.Light.Photometry.Ies;

namespace StageView.Light.Photometry.Eulumdat;

/// <summary>Reads EULUMDAT files; the layout is in the README beside this file.</summary>
public static class EulumdatReader
{
    private const int MostPlanes = 721;
    private const int MostAngles = 721;
    private const int MostSets = 20;

    /// <summary>Reads a whole file.</summary>
    /// <param name="bytes">The file's bytes.</param>
    /// <param name="name">What to call the web.</param>
    /// <param name="file">What it says.</param>
    /// <param name="why">Why it could not be read.</param>
    public static bool TryParse(ReadOnlySpan<byte> bytes, string name, out PhotometricFile? file, out PhotometryRefusal why)
    {
        file = null;
        why = default;
        if (bytes.Length > IesReader.MostBytes)
        {
            return Refuse(0, $"the file is larger than {IesReader.MostBytes >> 20} MiB; photometric files are a few hundred KiB at most", out why);
        }

        var lines = new Lines(bytes);
        var texts = new Dictionary<int, string>();
        Span<double> head = stackalloc double[27];
        for (var n = 1; n <= 26; n++)
        {
            if (n is 1 or 8 or 9 or 10 or 11 or 12)
            {
                if (!lines.TryText(out var text))
                {
                    return Refuse(n, "the file ends inside its header; this is not a whole EULUMDAT file", out why);
                }

                texts[n] = text;
            }
            else if (!lines.TryNumber(HeaderNames[n], out head[n], out why))
            {
                return false;
            }
        }

        var (symmetry, mc, ng, sets) = (head[3], head[4], head[6], head[26]);
        if (symmetry is not (0 or 1 or 2 or 3 or 4))
        {
            return Refuse(3, $"Isym {symmetry}: 0 to 4 expected", out why);
        }

        if (mc is < 1 or > MostPlanes || ng is < 1 or > MostAngles || mc != Math.Floor(mc) || ng != Math.Floor(ng))
        {
            return Refuse(4, $"{mc} C-planes of {ng} angles: whole numbers from 1 to {MostPlanes} expected", out why);
        }

        if ((symmetry is 2 or 3 && mc % 2 != 0) || (symmetry is 3 or 4 && mc % 4 != 0))
        {
            return Refuse(4, $"{mc} C-planes can't be halved or quartered as Isym {symmetry} asks", out why);
        }

        if (sets is < 1 or > MostSets)
        {
            return Refuse(26, $"{sets} sets of lamps: 1 to {MostSets} expected", out why);
        }

        double flux = 0, watts = 0;
        for (var s = 0; s < sets; s++)
        {
            if (!lines.TryNumber("number of lamps", out _, out why) || !lines.TryText(out _) || !lines.TryNumber("total flux", out var f, out why)
                || !lines.TryText(out _) || !lines.TryText(out _) || !lines.TryNumber("watts", out var w, out why))
            {
                return why.Reason is null ? Refuse(lines.Line, "the file ends inside its lamps", out why) : false;
            }

            (flux, watts) = s == 0 ? (f, w) : (flux, watts);
        }

        for (var i = 0; i < 10; i++)
        {
            if (!lines.TryText(out _))
            {
                return Refuse(lines.Line, "the file ends inside its direct ratios", out why);
            }
        }

        if (flux <= 0)
        {
            return Refuse(0, $"the total lamp flux is {flux} lm; intensities are given per 1000 lm and can't be scaled by it", out why);
        }

        if (!Angles(ref lines, "C-angle", (int)mc, 360, out var c, out why) || !Angles(ref lines, "G-angle", (int)ng, 180, out var g, out why))
        {
            return false;
        }

        var scale = flux / 1000 * (head[24] > 0 ? head[24] : 1);
        var stored = symmetry switch { 0 => (int)mc, 1 => 1, 4 => ((int)mc / 4) + 1, _ => ((int)mc / 2) + 1 };
        var planes = new double[stored][];
        for (var j = 0; j < stored; j++)
        {
            planes[j] = new double[(int)ng];
            for (var i = 0; i < planes[j].Length; i++)
            {
                if (!lines.TryNumber($"intensity {i + 1} of plane {j + 1}", out var value, out why))
                {
                    return false;
                }

                if (value < 0)
                {
                    return Refuse(lines.Line, $"intensity {value} is below zero", out why);
                }

                planes[j][i] = value * scale;
            }
        }

        var (azimuth, full) = Expand((int)symmetry, c, planes);
        if (!WebBuilder.TryBuild(name, g, azimuth, full, out var web))
        {
            return Refuse(0, "all intensities are zero", out why);
        }

        file = new PhotometricFile
        {
            Web = web!,
            LampLumens = flux,
            Watts = watts,
            Keywords = [.. texts.Where(t => t.Value.Length > 0).Select(t => new KeyValuePair<string, string>(HeaderNames[t.Key], t.Value))],
            Notes = sets > 1 ? [$"{sets} sets of lamps; the first, {flux} lm, is used"] : [],
        };
        return true;
    }

    private static readonly string[] HeaderNames =
    [
        "", "maker", "Ityp", "Isym", "number of C-planes Mc", "distance of C-planes Dc", "number of G-angles Ng", "distance of G-angles Dg",
        "report", "name", "number", "file", "date and user", "length", "width", "height", "luminous length", "luminous width",
        "luminous height C0", "luminous height C90", "luminous height C180", "luminous height C270", "downward flux fraction",
        "light output ratio", "conversion factor", "tilt", "number of lamp sets",
    ];

    private static (double[] Azimuth, double[][] Full) Expand(int symmetry, double[] c, double[][] planes)
    {
        if (symmetry == 1)
        {
            return ([0], planes);
        }

        var all = new SortedDictionary<double, double[]>();
        var first = symmetry == 3 ? 3 * c.Length / 4 : 0;
        for (var j = 0; j < planes.Length; j++)
        {
            var a = c[(first + j) % c.Length];
            double[] images = symmetry switch
            {
                2 => [a, 360 - a],
                3 => [a, 180 - a],
                4 => [a, 180 - a, 180 + a, 360 - a],
                _ => [a],
            };
            foreach (var image in images)
            {
                all.TryAdd(WebBuilder.Turn(image), planes[j]);
            }
        }

        return ([.. all.Keys], [.. all.Values]);
    }

    private static bool Angles(ref Lines lines, string what, int count, double most, out double[] angles, out PhotometryRefusal why)
    {
        why = default;
        angles = new double[count];
        for (var i = 0; i < count; i++)
        {
            if (!lines.TryNumber(what, out angles[i], out why))
            {
                return false;
            }

            if (angles[i] < 0 || angles[i] > most || (i > 0 && angles[i] < angles[i - 1] + 0.001))
            {
                return Refuse(lines.Line, $"{what} {angles[i]}° must rise and lie between 0 and {most}", out why);
            }
        }

        return true;
    }

    private static bool Refuse(int line, string reason, out PhotometryRefusal why)
    {
        why = new PhotometryRefusal(line, reason);
        return false;
    }

    /// <summary>One value a line.</summary>
    private ref struct Lines(ReadOnlySpan<byte> bytes)
    {
        private NumberReader _reader = new(bytes);

        public int Line { get; private set; }

        public bool TryText(out string text)
        {
            Line = _reader.Line;
            return _reader.TryLine(out text);
        }

        public bool TryNumber(string what, out double value, out PhotometryRefusal why)
        {
            why = default;
            value = 0;
            if (!TryText(out var text))
            {
                return Refuse(Line, $"the file ends where the {what} should stand", out why);
            }

            return NumberReader.Parse(Encoding.Latin1.GetBytes(text.Replace(',', '.')), out value, out _)
                || Refuse(Line, $"'{text[..Math.Min(text.Length, 20)]}' stands where the {what} should", out why);
        }
    }
}
