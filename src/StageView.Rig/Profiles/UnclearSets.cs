namespace StageView.Rig.Profiles;

/// <summary>Sets of macros and of dimmer curves whose names don't say what they do: told, so that nobody takes the picture for more than it knows.</summary>
internal static class UnclearSets
{
    private const int MostNames = 6;
    private static readonly string[] Curves = ["DimmerCurve", "DimmerMode"];

    /// <param name="functions">Of one channel.</param>
    /// <param name="notes">Gets a line for each function with such sets.</param>
    public static void Tell(IEnumerable<ChannelFunction> functions, List<string> notes)
    {
        foreach (var f in functions)
        {
            var macro = AttributeCatalog.General(f.Attribute).Equals("ColorMacro(n)", StringComparison.OrdinalIgnoreCase);
            if (!macro && !Curves.Contains(f.Attribute, StringComparer.OrdinalIgnoreCase))
            {
                continue;
            }

            var names = f.Sets.Count > 0 ? f.Sets.Where(s => s.WheelSlot == 0).Select(s => s.Name) : [f.Name];
            var unclear = names.Where(n => n.Length > 0 && (macro ? !SaysColour(n) : DimmerResponse.Read(n) is null)).Distinct().ToList();
            if (f.Sets.Count == 0 && unclear.Count > 0)
            {
                notes.Add($"{f.Attribute}, function {f.Name}: its values have no names, so what they do is not known");
            }
            else if (unclear.Count > 0)
            {
                var more = unclear.Count > MostNames ? $" and {unclear.Count - MostNames} more" : "";
                notes.Add($"{f.Attribute}, function {f.Name}: "
                    + (macro ? "what these look like is not in the file: " : "no dimmer curve that is known by these names: ")
                    + string.Join(", ", unclear.Take(MostNames).Select(n => $"\"{n}\"")) + more);
            }
        }
    }

    private static bool SaysColour(string name) => ColourNames.Find(name) is not null || ColourNames.IsIdle(name) || ColourNames.IsDark(name);
}
