namespace StageView.Rig.Scene;

/// <summary>Names with * for anything; taken apart once, held against many.</summary>
internal readonly struct NameMatch(string pattern)
{
    private readonly string[] _pieces = pattern.Split('*');

    public static bool Is(string pattern, string name) => new NameMatch(pattern).Is(name);

    public bool Is(string name)
    {
        if (_pieces.Length == 1)
        {
            return _pieces[0] == name;
        }

        if (!name.StartsWith(_pieces[0], StringComparison.Ordinal))
        {
            return false;
        }

        var at = _pieces[0].Length;
        for (var i = 1; i < _pieces.Length - 1; i++)
        {
            var found = name.IndexOf(_pieces[i], at, StringComparison.Ordinal);
            if (found < 0)
            {
                return false;
            }

            at = found + _pieces[i].Length;
        }

        return name.Length - at >= _pieces[^1].Length && name.EndsWith(_pieces[^1], StringComparison.Ordinal);
    }
}
