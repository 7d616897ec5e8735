namespace StageView.Rig.Scene;

/// <summary>Names with * for anything.</summary>
internal static class NameMatch
{
    public static bool Is(string pattern, string name)
    {
        if (!pattern.Contains('*', StringComparison.Ordinal))
        {
            return pattern == name;
        }

        var pieces = pattern.Split('*');
        if (!name.StartsWith(pieces[0], StringComparison.Ordinal))
        {
            return false;
        }

        var at = pieces[0].Length;
        for (var i = 1; i < pieces.Length - 1; i++)
        {
            var found = name.IndexOf(pieces[i], at, StringComparison.Ordinal);
            if (found < 0)
            {
                return false;
            }

            at = found + pieces[i].Length;
        }

        return name.Length - at >= pieces[^1].Length && name.EndsWith(pieces[^1], StringComparison.Ordinal);
    }
}
