using System.Text.RegularExpressions;
using StageView.Rig.Source;

namespace StageView.Rig.Keys;

/// <summary>Holds a file against its table of keys: unknown keys, missing keys, wrong kinds, values out of range.</summary>
internal static class KeyChecker
{
    public static bool Check(SourceNode node, KeyValue wanted, ProblemList problems)
    {
        var before = problems.Errors;
        Walk(node, wanted, problems);
        return problems.Errors == before;
    }

    private static void Walk(SourceNode node, KeyValue wanted, ProblemList problems)
    {
        switch (wanted)
        {
            case EitherValue either:
                var fit = Array.Find(either.Values, s => Fits(node, s));
                if (fit is null)
                {
                    Wrong(node, wanted, problems);
                }
                else
                {
                    Walk(node, fit, problems);
                }

                break;
            case var _ when !Fits(node, wanted):
                Wrong(node, wanted, problems);
                break;
            case NumberValue n when !(node.Number >= n.Least && node.Number <= n.Most && double.IsFinite(node.Number)):
                problems.Error(node, $"{node.Number} is out of range: should be {wanted.Said}");
                break;
            case IntegerValue i when node.Number != Math.Floor(node.Number) || node.Number < i.Least || node.Number > i.Most:
                problems.Error(node, $"{node.Number} does not fit: should be {wanted.Said}");
                break;
            case TextValue { Pattern: { } pattern } when !Regex.IsMatch(node.Text, pattern, RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1)):
                problems.Error(node, $"\"{Short(node.Text)}\" should be {wanted.Said}");
                break;
            case ChoiceValue c when !c.Words.Contains(node.Text):
                problems.Error(node, $"\"{Short(node.Text)}\" is not known here{Nearest.Hint(node.Text, c.Words)} Should be {c.Said}");
                break;
            case ListValue l:
                if (l.IsBound && node.Items.Count > l.Most)
                {
                    problems.Error(node, $"holds {node.Items.Count}: at most {l.Most} are read");
                    problems.Stop();
                }
                else if (node.Items.Count < l.Least || node.Items.Count > l.Most)
                {
                    problems.Error(node, $"holds {node.Items.Count}: should be {l.Said}");
                }

                foreach (var item in node.Items)
                {
                    Walk(item, l.Item, problems);
                }

                break;
            case MapValue m:
                foreach (var member in node.Members)
                {
                    if (!Regex.IsMatch(member.Key, m.KeyPattern, RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1)))
                    {
                        problems.Error(member, $"\"{Short(member.Key)}\": keys here are {m.KeyMeaning}");
                    }

                    Walk(member.Value, m.Item, problems);
                }

                break;
            case ObjectValue o:
                WalkObject(node, o, problems);
                break;
        }
    }

    private static void WalkObject(SourceNode node, ObjectValue wanted, ProblemList problems)
    {
        foreach (var member in node.Members)
        {
            var key = wanted.Keys.FirstOrDefault(k => k.Name == member.Key);
            if (key is null && wanted.Others is { } others)
            {
                Walk(member.Value, others, problems);
            }
            else if (key is null)
            {
                problems.Error(member, $"\"{Short(member.Key)}\" is not a key of {wanted.Name}{Known(member.Key, wanted)}");
            }
            else if (member.Value.Kind != SourceKind.Null)
            {
                Walk(member.Value, key.Value, problems);
            }
        }

        foreach (var key in wanted.Keys)
        {
            if (key.Required && !node.Has(key.Name))
            {
                problems.Error(node, $"{wanted.Name} needs \"{key.Name}\": {key.Tells}");
            }
        }
    }

    private static string Known(string key, ObjectValue wanted)
    {
        var names = wanted.Keys.Select(k => k.Name);
        var hint = Nearest.Hint(key, names);
        return hint.Length > 0 ? hint : ". Known keys: " + string.Join(", ", names);
    }

    private static bool Fits(SourceNode node, KeyValue wanted) => wanted switch
    {
        NumberValue or IntegerValue => node.Kind == SourceKind.Number,
        TextValue or ChoiceValue => node.Kind == SourceKind.Text,
        FlagValue => node.Kind == SourceKind.Flag,
        ListValue l => node.Kind == SourceKind.List && (node.Items.Count == 0 || l.Item is EitherValue || Fits(node.Items[0], l.Item)),
        MapValue or ObjectValue => node.Kind == SourceKind.Object,
        EitherValue e => Array.Exists(e.Values, s => Fits(node, s)),
        _ => false,
    };

    private static void Wrong(SourceNode node, KeyValue wanted, ProblemList problems) =>
        problems.Error(node, $"should be {wanted.Said}, but is {Named(node)}");

    private static string Named(SourceNode node) => node.Kind switch
    {
        SourceKind.Flag => node.Flag ? "true" : "false",
        SourceKind.Number => $"the number {node.Number}",
        SourceKind.Text => $"the text \"{Short(node.Text)}\"",
        SourceKind.List => $"a list of {node.Items.Count}",
        SourceKind.Object => "an object",
        _ => "null",
    };

    private static string Short(string text) => text.Length <= 60 ? text : text[..57] + "...";
}
