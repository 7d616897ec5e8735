using System.Globalization;
using System.Text;
using System.Text.Json;
using StageView.Rig.Profiles;

namespace StageView.Rig.Sheets;

/// <summary>Writes a data sheet as a commented fixture profile: behind each value stands where it is from.</summary>
public static class SheetWriter
{
    /// <summary>How long an axis takes to full speed and from it (common practice, no source), s.</summary>
    internal const float RampSeconds = .5f;

    /// <param name="sheet">The data sheet.</param>
    /// <param name="photometry">Name of its photometric file beside the profile; empty for none.</param>
    public static string Write(DataSheet sheet, string photometry)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        ChannelWords.TryRead(sheet.Channels.Value, [.. sheet.Emitters.Value], out var channels, out _);
        var text = new Lines();
        text.Add("// A fixture from its data sheet. Behind each value stands where it is from: look at those that are assumed, and measure what matters.");
        text.Add("// It hangs with z up and looks along -z; lengths in m, angles in degrees. `stageview check` compares it with its photometric file.");
        text.Add("{");
        text.Add($"  \"name\": {Q(sheet.Name)},");
        Amount(text, "weight", sheet.Weight, "kg");
        Amount(text, "power", sheet.Power, "W at full");
        Emitters(text, sheet);
        Geometry(text, sheet, photometry);
        text.Add("  \"modes\": [");
        text.Add("    {");
        text.Add("      \"name\": \"Standard\",", "the only mode so far");
        text.Add("      \"channels\": [", $"in order of address: {sheet.Channels.Source}");
        SheetChannels.Write(text, sheet, channels);
        text.Add("      ]");
        text.Add("    }");
        text.Add("  ]");
        text.Add("}");
        return text.ToString();
    }

    internal static string N(float v) => v.ToString("0.####", CultureInfo.InvariantCulture);

    private static string Q(string text) => JsonSerializer.Serialize(text);

    private static void Amount(Lines text, string key, Stated<float>? value, string unit)
    {
        if (value is not null)
        {
            text.Add($"  \"{key}\": {N(value.Value)},", $"{unit}: {value.Source}");
        }
    }

    private static void Emitters(Lines text, DataSheet sheet)
    {
        if (sheet.Emitters.Value.Count == 0)
        {
            return;
        }

        var typical = sheet.Emitters.Value.Select(e => (Name: e, Light: TypicalEmitters.Of(e))).ToList();
        var sum = typical.Sum(t => t.Light.Share);
        text.Add("  \"emitters\": [", $"which: {sheet.Emitters.Source}; x, y and shares of the lumens: {Sources.Assumed}");
        var left = 1f;
        for (var i = 0; i < typical.Count; i++)
        {
            // The last takes what rounding leaves, so that they add up to 1.
            var share = i == typical.Count - 1 ? left : MathF.Round(typical[i].Light.Share / sum, 3);
            left -= share;
            text.Add($"    {{ \"name\": {Q(typical[i].Name)}, \"x\": {N(typical[i].Light.X)}, \"y\": {N(typical[i].Light.Y)}, \"share\": {N(share)} }}"
                + (i < typical.Count - 1 ? "," : ""));
        }

        text.Add("  ],");
    }

    private static void Geometry(Lines text, DataSheet sheet, string photometry)
    {
        const string bodies = "sizes of what is drawn: " + Sources.Assumed;
        text.Add("  \"geometry\": [");
        if (!sheet.Moves)
        {
            text.Add("    {");
            text.Add("      \"name\": \"body\",");
            text.Add("      \"body\": { \"shape\": \"cylinder\", \"size\": [0.25, 0.25, 0.35] },", bodies);
            text.Add("      \"parts\": [");
            Lens(text, sheet, photometry, -.18f, "        ");
            text.Add("      ]");
            text.Add("    }");
        }
        else
        {
            text.Add("    {");
            text.Add("      \"name\": \"base\",");
            text.Add("      \"body\": { \"shape\": \"box\", \"size\": [0.35, 0.25, 0.12], \"at\": [0, 0, -0.06] },", bodies);
            text.Add("      \"parts\": [");
            text.Add("        {");
            text.Add("          \"name\": \"yoke\", \"at\": [0, 0, -0.12],");
            Axis(text, "pan", sheet.Pan, sheet.PanSpeed, "          ");
            text.Add("          \"parts\": [");
            text.Add("            {");
            text.Add("              \"name\": \"head\", \"at\": [0, 0, -0.28],");
            Axis(text, "tilt", sheet.Tilt, sheet.TiltSpeed, "              ");
            text.Add("              \"body\": { \"shape\": \"cylinder\", \"size\": [0.25, 0.25, 0.4] },");
            text.Add("              \"parts\": [");
            Lens(text, sheet, photometry, -.2f, "                ");
            text.Add("              ]");
            text.Add("            }");
            text.Add("          ]");
            text.Add("        }");
            text.Add("      ]");
            text.Add("    }");
        }

        text.Add("  ],");
    }

    private static void Axis(Lines text, string motion, Stated<(float From, float To)>? range, Stated<float> speed, string indent)
    {
        if (range is not null)
        {
            text.Add($"{indent}\"axis\": {{ \"motion\": \"{motion}\", \"speed\": {N(MathF.Round(speed.Value, 1))}, \"acceleration\": "
                + $"{N(MathF.Round(speed.Value / RampSeconds))} }},", $"deg/s: {speed.Source}; deg/s²: {Sources.Assumed}");
        }
    }

    private static void Lens(Lines text, DataSheet sheet, string photometry, float z, string indent)
    {
        // The profile knows one ratio of field to beam for all zooms: that of the wide end. Its own angle is where the zoom stands without levels.
        var rest = sheet.Zooms ? (sheet.Beam.Value.From + sheet.Beam.Value.To) / 2 : sheet.Beam.Value.From;
        var ratio = sheet.Field.Value.To / sheet.Beam.Value.To;
        var lines = new List<(string Line, string Comment)>
        {
            ($"\"kind\": \"{(sheet.IsSoft.Value ? "wash" : "spot")}\"", sheet.IsSoft.Source),
        };
        if (sheet.Lumens is { } lumens)
        {
            lines.Add(($"\"flux\": {N(lumens.Value)}", $"lm: {lumens.Source}"));
        }

        lines.Add(($"\"beamAngle\": {N(rest)}", sheet.Beam.Source + (sheet.Zooms ? "; where no zoom says otherwise: the middle of its range" : "")));
        lines.Add(($"\"fieldAngle\": {N(MathF.Round(Math.Min(179, rest * ratio), 2))}",
            sheet.Field.Source + (sheet.Zooms ? "; its ratio to the beam angle, that of the wide end, holds at every zoom" : "")));
        lines.Add(($"\"lensRadius\": {N(sheet.LensRadius.Value)}", sheet.LensRadius.Source));
        lines.Add(($"\"colourTemperature\": {N(sheet.Kelvin.Value)}", $"K: {sheet.Kelvin.Source}"));
        if (photometry.Length > 0)
        {
            // Measured intensities hold at every zoom: a beam that zooms is only compared with them.
            lines.Add(sheet.Zooms
                ? ($"\"measured\": {Q(photometry)}", sheet.Photometry!.Source + "; only compared, \"photometry\" would hold it at every zoom")
                : ($"\"photometry\": {Q(photometry)}", sheet.Photometry!.Source));
        }

        text.Add($"{indent}{{");
        text.Add($"{indent}  \"name\": \"lens\", \"at\": [0, 0, {N(z)}],");
        text.Add($"{indent}  \"beam\": {{");
        for (var i = 0; i < lines.Count; i++)
        {
            text.Add($"{indent}    {lines[i].Line}{(i < lines.Count - 1 ? "," : "")}", lines[i].Comment);
        }

        text.Add($"{indent}  }}");
        text.Add($"{indent}}}");
    }

    /// <summary>Lines with comments behind them.</summary>
    internal sealed class Lines
    {
        private readonly StringBuilder _text = new();

        public void Add(string line, string comment = "") =>
            _text.Append(line).Append(comment.Length > 0 ? " // " + comment.ReplaceLineEndings(" ") : "").Append('\n');

        public override string ToString() => _text.ToString();
    }
}
