using System.IO.Enumeration;

namespace StageView.Snapshot.Frames;

/// <summary>The file <c>compare.json</c> in a set of baselines: tolerances for all frames, and for those whose name fits a pattern.</summary>
public sealed record CompareFile
{
    public const string Name = "compare.json";

    public TolerancePart? All { get; init; }

    /// <summary>By pattern of the frame's name, <c>*</c> and <c>?</c> allowed; later ones win.</summary>
    public IReadOnlyDictionary<string, TolerancePart>? Frames { get; init; }

    /// <summary>What is said of one frame, in order, with where it is said.</summary>
    public IEnumerable<(TolerancePart Part, string Source)> For(string frame)
    {
        if (All is not null)
        {
            yield return (All, $"{Name} $.all");
        }

        foreach (var (pattern, part) in Frames ?? new Dictionary<string, TolerancePart>())
        {
            if (FileSystemName.MatchesSimpleExpression(pattern, frame))
            {
                yield return (part, $"{Name} $.frames['{pattern}']");
            }
        }
    }
}
