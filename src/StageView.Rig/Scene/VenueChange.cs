using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>One thing that a venue did, and all that went with it.</summary>
/// <param name="text">What was done.</param>
/// <param name="of">Name of what it was done to.</param>
/// <param name="ofSeveral">Instead of the text, where it was done to several things that one entry names; empty where that can't be.</param>
internal sealed class VenueChange(string text, string of = "", string ofSeveral = "")
{
    private readonly List<Func<string>> _with = [];

    /// <summary>Names are asked for at the end: the first of several gets its number late.</summary>
    public void Went(Func<string> name) => _with.Add(name);

    public IEnumerable<string> Lines()
    {
        var names = _with.ConvertAll(n => n());
        if (ofSeveral.Length > 0 && names.Count > 1)
        {
            yield return $"{ofSeveral}: {NameRuns.Of(names)}";
            yield break;
        }

        yield return text;
        if (names.Count > 1 || (names.Count == 1 && names[0] != of))
        {
            yield return $"with \"{of}\": {NameRuns.Of(names)}";
        }
    }
}
