using System.Globalization;
using System.Text;

namespace StageView.Rig.Mvr;

/// <summary>
/// Profiles that stand in for fixture types which did not come with a file. They keep the type's name, its modes' names and how many breaks those have, so that
/// an export says what the import said.
/// </summary>
internal sealed class MvrPlaceholders
{
    /// <summary>The mode of a fixture that names none.</summary>
    public const string NoMode = "Unknown";

    private readonly Dictionary<string, Dictionary<string, int>> _modes = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _written = new(StringComparer.Ordinal);
    private readonly Func<string, string> _quoted;

    /// <param name="fixtures">All of the scene.</param>
    /// <param name="quoted">Makes a name a JSON text.</param>
    public MvrPlaceholders(IReadOnlyList<MvrFixture> fixtures, Func<string, string> quoted)
    {
        _quoted = quoted;
        foreach (var f in fixtures)
        {
            if (!_modes.TryGetValue(f.Spec, out var modes))
            {
                _modes[f.Spec] = modes = new Dictionary<string, int>(StringComparer.Ordinal);
            }

            var mode = ModeOf(f);
            modes[mode] = Math.Max(modes.GetValueOrDefault(mode, 1), f.Addresses.Select(a => a.Break + f.FirstBreak).DefaultIfEmpty(1).Max());
        }
    }

    public static string ModeOf(MvrFixture f) => f.Mode.Length == 0 ? NoMode : MvrText.NameOf(f.Mode);

    public int BreaksOf(MvrFixture f) => Math.Clamp(_modes[f.Spec][ModeOf(f)], 1, 16);

    /// <summary>The name by which the scene file refers to it.</summary>
    /// <param name="spec">GDTFSpec of the type; empty where a fixture names none.</param>
    /// <param name="put">Writes a file, under a name like the one given; returns the one it got.</param>
    public string FileOf(string spec, Func<string, byte[], string> put)
    {
        if (_written.TryGetValue(spec, out var name))
        {
            return name;
        }

        var type = spec.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase) ? spec[..^5] : spec;
        var b = new StringBuilder("// Stands in for a fixture type that did not come with the file.\n{\n");
        b.Append("  \"name\": ").Append(_quoted(type.Length == 0 ? "Placeholder" : type + " (placeholder)")).Append(",\n");
        b.Append("  \"standsFor\": ").Append(spec.Length == 0 ? "\"\"" : _quoted(spec)).Append(",\n");
        b.Append("  \"geometry\": [{ \"name\": \"box\", \"body\": { \"shape\": \"box\", \"size\": [0.3, 0.3, 0.4], \"at\": [0, 0, -0.2] } }],\n");
        b.Append("  \"modes\": [\n");
        foreach (var (mode, breaks) in _modes[spec])
        {
            b.Append("    { \"name\": ").Append(_quoted(mode)).Append(", \"channels\": [");
            b.Append(breaks < 2 ? "" : string.Create(CultureInfo.InvariantCulture,
                $"{{ \"attribute\": \"NoFeature\", \"bits\": \"virtual\", \"break\": {Math.Min(breaks, 16)} }}")).Append("] },\n");
        }

        b.Append("  ]\n}\n");
        return _written[spec] = put(type.Length == 0 ? "placeholder" : type, Encoding.UTF8.GetBytes(b.ToString()));
    }
}
