using static StageView.Rig.Sheets.SheetWriter;

namespace StageView.Rig.Sheets;

/// <summary>Writes the channels of a data sheet, each with what its values mean and where that is from.</summary>
internal static class SheetChannels
{
    private const string Here = Sources.Assumed + "; put your sheet's values here";

    public static void Write(Lines text, DataSheet sheet, IReadOnlyList<SheetChannel> channels)
    {
        var last = channels.Where(c => Driven(sheet, c)).LastOrDefault();
        foreach (var c in channels)
        {
            Write(text, sheet, c, c == last);
        }
    }

    /// <summary>Whether the profile has something that the channel drives; what has not is a comment.</summary>
    private static bool Driven(DataSheet sheet, SheetChannel c) =>
        c.Attribute switch { "Pan" => sheet.Pan is not null, "Tilt" => sheet.Tilt is not null, "NoFeature" => false, _ => true };

    private static void Write(Lines text, DataSheet sheet, SheetChannel channel, bool last)
    {
        var geometry = channel.Attribute switch
        {
            "Pan" => "yoke",
            "Tilt" => "head",
            "PositionMSpeed" or "NoFeature" or "DimmerCurve" => Root(sheet),
            _ => IsControl(channel) ? Root(sheet) : "lens",
        };
        var (keys, comment) = Meaning(sheet, channel);
        var offsets = string.Join(", ", channel.Offsets);
        if (!Driven(sheet, channel))
        {
            text.Add($"        // {offsets}: {comment}");
            return;
        }

        text.Add(
            $"        {{ \"attribute\": \"{channel.Attribute}\", \"geometry\": \"{geometry}\", \"offsets\": [{offsets}]{keys} }}{(last ? "" : ",")}", comment);
    }

    private static string Root(DataSheet sheet) => sheet.Moves ? "base" : "body";

    private static bool IsControl(SheetChannel c) => c.Attribute.StartsWith("Control", StringComparison.Ordinal);

    private static (string Keys, string Comment) Meaning(DataSheet sheet, SheetChannel c) => c.Attribute switch
    {
        "Pan" when sheet.Pan is { } p => ($", \"default\": 128, \"physical\": [{N(p.Value.From)}, {N(p.Value.To)}]", $"deg: {p.Source}"),
        "Tilt" when sheet.Tilt is { } t => ($", \"default\": 128, \"physical\": [{N(t.Value.From)}, {N(t.Value.To)}]", $"deg: {t.Source}"),
        "Zoom" => ($", \"default\": 128, \"physical\": [{N(sheet.Beam.Value.From)}, {N(sheet.Beam.Value.To)}]",
            $"deg: {sheet.Beam.Source}; narrow at 0: {Sources.Assumed}"),
        "Shutter1" => (", \"default\": 255, \"ranges\": [{ \"from\": 0, \"to\": 9, \"physical\": [0, 0] }, { \"from\": 10, \"to\": 249, \"attribute\": "
            + "\"Shutter1Strobe\", \"physical\": [1, 20] }, { \"from\": 250, \"physical\": [1, 1] }]", $"closed, 1 to 20 Hz, open: {Here}"),
        "CTO" => ($", \"physical\": [{N(sheet.Kelvin.Value)}, 2700]", $"K: {Here}"),
        "Iris" => (", \"physical\": [1, 0.1]", $"open at 0: {Here}"),
        "Focus1" => (", \"physical\": [2, 30]", $"m: {Here}"),
        "PositionMSpeed" => (", \"physical\": [1, 0.02]", $"shares of the full speed, fast at 0: {Here}"),
        "ColorMacro1" or "Effects1" or "DimmerCurve" => ("", $"{c.Word}: what its values choose is not known"),
        "Pan" or "Tilt" => ("", $"{c.Word}: its range is not known, so nothing moves"),
        "NoFeature" => ("", $"{c.Word}: not written yet, a wheel needs its slots (\"wheels\")"),
        _ when IsControl(c) => ("", $"{c.Word}: changes no light"),
        _ => ("", ""),
    };
}
