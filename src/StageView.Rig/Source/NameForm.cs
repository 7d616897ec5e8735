using System.Text;

namespace StageView.Rig.Source;

/// <summary>Names as files mean them: blanks at the ends and doubled ones within don't tell two names apart.</summary>
internal static class NameForm
{
    /// <summary>Without blanks at the ends, and with one where several stand in a row.</summary>
    public static string Of(string text)
    {
        var b = new StringBuilder(text.Length);
        foreach (var c in text)
        {
            if (!char.IsWhiteSpace(c))
            {
                b.Append(c);
            }
            else if (b.Length > 0 && b[^1] != ' ')
            {
                b.Append(' ');
            }
        }

        return b.ToString().TrimEnd();
    }

    /// <summary>The thing with a name: written the same, else the same but for blanks, else the only one that is the same but for blanks and case.</summary>
    public static T? Find<T>(IReadOnlyList<T> all, Func<T, string> nameOf, string wanted)
        where T : class
    {
        var form = Of(wanted);
        var folded = all.Where(x => Of(nameOf(x)).Equals(form, StringComparison.OrdinalIgnoreCase)).Take(2).ToList();
        return all.FirstOrDefault(x => nameOf(x) == wanted) ?? all.FirstOrDefault(x => Of(nameOf(x)) == form) ?? (folded.Count == 1 ? folded[0] : null);
    }
}
