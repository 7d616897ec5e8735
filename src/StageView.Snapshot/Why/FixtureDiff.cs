using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>Fixtures and attributes that differ between two frames.</summary>
internal static class FixtureDiff
{
    public static IEnumerable<Cause> Of(FrameSidecar before, FrameSidecar after)
    {
        var old = before.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name);
        var now = after.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name);
        foreach (var name in old.Keys.Union(now.Keys).Order(StringComparer.Ordinal))
        {
            var (a, b) = (old.GetValueOrDefault(name), now.GetValueOrDefault(name));
            if (a?.Lit != b?.Lit)
            {
                yield return new Cause
                {
                    Kind = CauseKind.Fixture,
                    Subject = name,
                    What = "light",
                    Before = a?.Lit == true ? "lit" : "dark",
                    After = b?.Lit == true ? "lit" : "dark",
                };
            }

            if (a is null || b is null)
            {
                continue;
            }

            foreach (var cause in Attributes(name, a, b))
            {
                yield return cause;
            }
        }
    }

    private const string ColourX = "colour x";
    private static readonly string[] _mixes = ["ColorSub_", "ColorAdd_", "ColorRGB_", "CTO", "CTB", "CTC"];

    private const string ColourY = "colour y";

    /// <summary>Smallest step of a chromaticity told: a fifth of what an eye tells apart (MacAdam 1942, ellipses about .003 wide at white).</summary>
    private const double LeastColour = 0.0006;

    private static string? Colour(Dictionary<string, AttributeRecord> of, string stem) =>
        of.GetValueOrDefault(stem + "x")?.Value is { } x && of.GetValueOrDefault(stem + "y")?.Value is { } y ? ColourWords.Of(x, y) : null;

    private static IEnumerable<Cause> Attributes(string fixture, FixtureRecord a, FixtureRecord b)
    {
        var old = a.Attributes.DistinctBy(x => x.Name).ToDictionary(x => x.Name);
        var now = b.Attributes.DistinctBy(x => x.Name).ToDictionary(x => x.Name);
        var told = new List<Cause>();
        foreach (var name in now.Keys.Union(old.Keys))
        {
            if (name.EndsWith(ColourX, StringComparison.Ordinal) || name.EndsWith(ColourY, StringComparison.Ordinal))
            {
                // The two are one colour, told where both frames have it: a source that lights or goes dark is told by its flux.
                var stem = name[..^1];
                if (name.EndsWith(ColourX, StringComparison.Ordinal) && Colour(old, stem) is { } was && Colour(now, stem) is { } isNow && was != isNow
                    && (Math.Abs(old[name].Value!.Value - now[name].Value!.Value) > LeastColour
                        || Math.Abs(old[stem + "y"].Value!.Value - now[stem + "y"].Value!.Value) > LeastColour))
                {
                    told.Add(new Cause { Kind = CauseKind.Attribute, Subject = fixture, What = stem.TrimEnd(), Before = was, After = isNow });
                }

                continue;
            }

            var (x, y) = (old.GetValueOrDefault(name), now.GetValueOrDefault(name));
            var unit = (y ?? x)!.Unit;
            if (Amounts.Differ(x?.Value, x?.Text, y?.Value, y?.Text, unit))
            {
                told.Add(new Cause
                {
                    Kind = CauseKind.Attribute,
                    Subject = fixture,
                    What = Word(name),
                    Before = Amounts.Say(x?.Value, unit, x?.Text),
                    After = Amounts.Say(y?.Value, unit, y?.Text),
                });
            }
        }

        // What mixes a colour, and the light that comes of it, only say again what the colour and the dimmer say.
        var colour = told.Find(c => c.What.EndsWith("colour", StringComparison.Ordinal))?.Text;
        var dimmer = told.Find(c => c.What.EndsWith("Dimmer", StringComparison.Ordinal))?.Text;
        return told.Select(c => c with { Follows = IsMix(c.What) ? colour : c.What.EndsWith("flux", StringComparison.Ordinal) ? dimmer ?? colour : null })
            .OrderBy(c => c.Follows is not null);
    }

    private static bool IsMix(string attribute) => _mixes.Any(m => attribute.Contains(m, StringComparison.Ordinal));

    /// <summary>Attributes whose names in the standard (DIN SPEC 15800) say nothing on a stage.</summary>
    private static string Word(string attribute) => attribute.EndsWith("XYZ_Z", StringComparison.Ordinal) ? attribute[..^5] + "height"
        : attribute.EndsWith("XYZ_X", StringComparison.Ordinal) ? attribute[..^5] + "across"
        : attribute.EndsWith("XYZ_Y", StringComparison.Ordinal) ? attribute[..^5] + "along" : attribute;
}
