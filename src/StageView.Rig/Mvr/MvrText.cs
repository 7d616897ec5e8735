using System.Globalization;
using System.Numerics;
using System.Text.Json;
using StageView.Light.Geometry;
using StageView.Rig.Solids;

namespace StageView.Rig.Mvr;

/// <summary>How an imported rig file writes names, numbers and places.</summary>
internal static class MvrText
{
    /// <summary>Names as our files allow them: no spaces at the ends, at most 90 characters.</summary>
    public static string NameOf(string name)
    {
        var clean = new string([.. name.Where(c => !char.IsControl(c))]).Trim();
        return clean.Length == 0 ? "unnamed" : clean.Length > 90 ? clean[..90].TrimEnd() : clean;
    }

    public static string FileName(string name)
    {
        var clean = new string([.. name.Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or ' ' or '@' ? c : '-')]).Trim(' ', '-');
        return clean.Length == 0 ? "unnamed" : clean.Length > 80 ? clean[..80] : clean;
    }

    public static string Placed(in Pose pose) => $", \"at\": {V(pose.Position)}, \"rotate\": {V(Turns.ToDegrees(pose.Orientation))}";

    public static string Optional(string key, string value) => value.Length == 0 ? "" : $", \"{key}\": {Q(NameOf(value))}";

    public static string V(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"[{v.X:0.#######}, {v.Y:0.#######}, {v.Z:0.#######}]");

    public static string Q(string text) => JsonSerializer.Serialize(text, Plain);

    private static readonly JsonSerializerOptions Plain = new() { Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };
}
