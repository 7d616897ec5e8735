using System.Text.RegularExpressions;
using StageView.Rig.Source;

namespace StageView.Rig.Keys;

/// <summary>Holds a file against its shape: unknown keys, missing keys, wrong kinds, values out of range.</summary>
internal static class ShapeChecker
{
    public static bool Check(SourceNode node, ValueShape shape, ProblemList problems)
    {
        var before = problems.Errors;
        Walk(node, shape, problems);
        return problems.Errors == before;
    }

    private static void Walk(SourceNode node, ValueShape shape, ProblemList problems)
    {
        switch (shape)
        {
            case EitherShape either:
                var fit = Array.Find(either.Shapes, s => Fits(node, s));
                if (fit is null)
                {
                    Wrong(node, shape, problems);
                }
                else
                {
                    Walk(node, fit, problems);
                }

                break;
            case var _ when !Fits(node, shape):
                Wrong(node, shape, problems);
                break;
            case NumberShape n when !(node.Number >= n.Least && node.Number <= n.Most && double.IsFinite(node.Number)):
                problems.Error(node, $"{node.Number} is out of range: should be {shape.Said}");
                break;
            case IntegerShape i when node.Number != Math.Floor(node.Number) || node.Number < i.Least || node.Number > i.Most:
                problems.Error(node, $"{node.Number} does not fit: should be {shape.Said}");
                break;
            case TextShape { Pattern: { } pattern } when !Regex.IsMatch(node.Text, pattern, RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1)):
                problems.Error(node, $"\"{Short(node.Text)}\" should be {shape.Said}");
                break;
            case ChoiceShape c when !c.Words.Contains(node.Text):
                problems.Error(node, $"\"{Short(node.Text)}\" is not known here{Nearest.Hint(node.Text, c.Words)} Should be {c.Said}");
                break;
            case ListShape l:
                if (node.Items.Count < l.Least || node.Items.Count > l.Most)
                {
                    problems.Error(node, $"holds {node.Items.Count}: should be {l.Said}");
                }

                foreach (var item in node.Items)
                {
                    Walk(item, l.Item, problems);
                }

                break;
            case MapShape m:
                foreach (var member in node.Members)
                {
                    if (!Regex.IsMatch(member.Key, m.KeyPattern, RegexOptions.CultureInvariant, TimeSpan.FromSeconds(1)))
                    {
                        problems.Error(node.File, member.Line, member.Value.Path, $"\"{Short(member.Key)}\": keys here are {m.KeyMeaning}");
                    }

                    Walk(member.Value, m.Item, problems);
                }

                break;
            case ObjectShape o:
                WalkObject(node, o, problems);
                break;
        }
    }

    private static void WalkObject(SourceNode node, ObjectShape shape, ProblemList problems)
    {
        foreach (var member in node.Members)
        {
            var key = shape.Keys.FirstOrDefault(k => k.Name == member.Key);
            if (key is null)
            {
                var names = shape.Keys.Select(k => k.Name);
                var hint = Nearest.Hint(member.Key, names);
                problems.Error(
                    node.File,
                    member.Line,
                    member.Value.Path,
                    $"\"{Short(member.Key)}\" is not a key of {shape.Name}{(hint.Length > 0 ? hint : ". Known keys: " + string.Join(", ", names))}");
            }
            else if (member.Value.Kind != SourceKind.Null)
            {
                Walk(member.Value, key.Shape, problems);
            }
        }

        foreach (var key in shape.Keys)
        {
            if (key.Required && !node.Has(key.Name))
            {
                problems.Error(node, $"{shape.Name} needs \"{key.Name}\": {key.Tells}");
            }
        }
    }

    private static bool Fits(SourceNode node, ValueShape shape) => shape switch
    {
        NumberShape or IntegerShape => node.Kind == SourceKind.Number,
        TextShape or ChoiceShape => node.Kind == SourceKind.Text,
        FlagShape => node.Kind == SourceKind.Flag,
        ListShape l => node.Kind == SourceKind.List && (node.Items.Count == 0 || l.Item is EitherShape || Fits(node.Items[0], l.Item)),
        MapShape or ObjectShape => node.Kind == SourceKind.Object,
        EitherShape e => Array.Exists(e.Shapes, s => Fits(node, s)),
        _ => false,
    };

    private static void Wrong(SourceNode node, ValueShape shape, ProblemList problems) =>
        problems.Error(node, $"should be {shape.Said}, but is {Named(node)}");

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
