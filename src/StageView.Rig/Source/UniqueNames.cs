using System.Globalization;

namespace StageView.Rig.Source;

/// <summary>Gives each name once: the second "lens" is "lens (2)". Quick however many are alike.</summary>
internal sealed class UniqueNames
{
    private readonly HashSet<string> _given = new(StringComparer.Ordinal);
    private readonly Dictionary<string, int> _next = new(StringComparer.Ordinal);

    public string Give(string wanted)
    {
        if (_given.Add(wanted))
        {
            return wanted;
        }

        var k = _next.GetValueOrDefault(wanted, 2);
        string name;
        do
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{wanted} ({k++})");
        }
        while (!_given.Add(name));
        _next[wanted] = k;
        return name;
    }
}
